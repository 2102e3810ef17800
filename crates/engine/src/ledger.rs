//! What one option went through in one trial, in physical units only.

use meter::Outage;
use plan::ClockPlan;

/// Work of one day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Visit {
    /// Day since the start.
    pub day: u32,
    /// Month in which it is booked.
    pub month: usize,
    /// Failed lamps replaced, and parts repaired.
    pub spot: u32,
    /// Lamps of a planned replacement.
    pub planned: u32,
}

/// The physical ledger of one option in one trial. It holds no price, and no price can change it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// Photons delivered by the whole room, mol, by month.
    pub moles: Vec<f64>,
    /// Those below the ceiling of PPFD, mol, by month; empty without a ceiling.
    pub useful_moles: Vec<f64>,
    /// Sockets without light while the schedule wanted it, socket by socket, in elapsed time.
    pub outages: Vec<Outage>,
    /// Lamps put in for a failed one, by month.
    pub spot_lamps: Vec<u32>,
    /// Lamps put in as planned (in a group or by age), by month.
    pub planned_lamps: Vec<u32>,
    /// Lamps that failed, by month.
    pub lamp_failures: Vec<u32>,
    /// Control gear and components that failed, by month.
    pub gear_failures: Vec<u32>,
    /// Control gear repaired, by month.
    pub gear_repairs: Vec<u32>,
    /// Components repaired: by component, then by month.
    pub repairs: Vec<Vec<u32>>,
    /// Lamps broken while they were put in, by month.
    pub broken_lamps: Vec<u32>,
    /// Claims made under a warranty, by month of the failure.
    pub claims: Vec<u32>,
    /// Lamp prices credited for them, by month of the credit.
    pub credited: Vec<f64>,
    /// Cleanings of the whole room, by month.
    pub cleanings: Vec<u32>,
    /// Visits in order; noted only where a crew is paid by visit.
    pub visits: Vec<Visit>,
    /// Unused lamps to which the lamps burning at the horizon amount, by what is left of their median life.
    pub lamps_left: f64,
    /// Mean burn hours of the burning lamps, by month; noted only where power drifts with age.
    pub mean_age: Vec<f64>,
    /// Socket-hours in which a lamp burned, h.
    pub burn_hours: f64,
    /// Socket-hours of the schedule in which a socket was dark, h.
    pub dark_hours: f64,
    /// Lamp starts. A lamp put in while its neighbours burn waits for the schedule's next start.
    pub starts: u64,
}

impl Ledger {
    /// Empties the ledger for a number of months; what only a richer room needs stays empty.
    pub(crate) fn open(&mut self, months: usize) {
        self.moles.clear();
        self.moles.resize(months, 0.0);
        self.outages.clear();
        self.visits.clear();
        self.repairs.clear();
        let Self { spot_lamps, planned_lamps, lamp_failures, gear_failures, gear_repairs, .. } = self;
        for counts in [spot_lamps, planned_lamps, lamp_failures, gear_failures, gear_repairs] {
            counts.clear();
            counts.resize(months, 0);
        }
        for counts in [&mut self.broken_lamps, &mut self.claims, &mut self.cleanings] {
            counts.clear();
        }
        for amounts in [&mut self.useful_moles, &mut self.credited, &mut self.mean_age] {
            amounts.clear();
        }
        (self.burn_hours, self.dark_hours, self.starts, self.lamps_left) = (0.0, 0.0, 0, 0.0);
    }

    /// Opens what only a room that is kept in a richer way needs.
    pub(crate) fn open_rich(&mut self, months: usize, components: usize) {
        for counts in [&mut self.broken_lamps, &mut self.claims, &mut self.cleanings] {
            counts.resize(months, 0);
        }
        self.credited.resize(months, 0.0);
        self.repairs.resize(components, vec![0; months]);
    }

    /// Lamps bought after the first fill; broken ones count.
    pub fn lamps_bought(&self) -> u64 {
        self.spot_lamps.iter().chain(&self.planned_lamps).chain(&self.broken_lamps).map(|&n| u64::from(n)).sum()
    }

    /// Failures of lamps and gear.
    pub fn failures(&self) -> u64 {
        self.lamp_failures.iter().chain(&self.gear_failures).map(|&n| u64::from(n)).sum()
    }

    /// Notes that a socket was dark between two moments of the schedule.
    pub(crate) fn dark(&mut self, from: f64, to: f64, clock: &ClockPlan) {
        if to <= from {
            return;
        }
        let timeline = &clock.timeline;
        self.dark_hours += to - from;
        self.starts += u64::from(clock.starts_between(from, to));
        let over = to >= timeline.lit_hours;
        let end = if over { timeline.elapsed_hours } else { timeline.elapsed_at(to) };
        self.outages.push(Outage { from: 3600.0 * timeline.elapsed_at(from), to: 3600.0 * end });
    }

    /// Joins visits of one day that were noted apart, because what happens in the dark is noted after planned work.
    pub(crate) fn join_visits(&mut self) {
        self.visits.sort_by_key(|visit| visit.day);
        self.visits.dedup_by(|next, visit| {
            let same = next.day == visit.day;
            if same {
                visit.spot += next.spot;
                visit.planned += next.planned;
            }
            same
        });
    }

    /// Notes work of a day.
    pub(crate) fn visit(&mut self, day: u32, month: usize, spot: u32, planned: u32) {
        match self.visits.last_mut() {
            Some(visit) if visit.day == day => {
                visit.spot += spot;
                visit.planned += planned;
            }
            _ => self.visits.push(Visit { day, month, spot, planned }),
        }
    }
}
