//! What one option went through in one trial, in physical units only.

use meter::Outage;

/// The physical ledger of one option in one trial. It holds no price, and no price can change it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// Photons delivered by the whole room, mol, by month.
    pub moles: Vec<f64>,
    /// Sockets without light while the schedule wanted it, socket by socket, in elapsed time.
    pub outages: Vec<Outage>,
    /// Lamps put in for a failed one, by month.
    pub spot_lamps: Vec<u32>,
    /// Lamps put in as planned (in a group or by age), by month.
    pub planned_lamps: Vec<u32>,
    /// Lamps that failed, by month.
    pub lamp_failures: Vec<u32>,
    /// Control gear that failed, by month.
    pub gear_failures: Vec<u32>,
    /// Control gear repaired, by month.
    pub gear_repairs: Vec<u32>,
    /// Socket-hours in which a lamp burned, h.
    pub burn_hours: f64,
    /// Socket-hours of the schedule in which a socket was dark, h.
    pub dark_hours: f64,
    /// Lamp starts. A lamp put in while its neighbours burn waits for the schedule's next start.
    pub starts: u64,
}

impl Ledger {
    /// Empties the ledger for a number of months.
    pub(crate) fn open(&mut self, months: usize) {
        let Self { moles, outages, spot_lamps, planned_lamps, lamp_failures, gear_failures, gear_repairs, .. } = self;
        moles.clear();
        moles.resize(months, 0.0);
        outages.clear();
        for counts in [spot_lamps, planned_lamps, lamp_failures, gear_failures, gear_repairs] {
            counts.clear();
            counts.resize(months, 0);
        }
        (self.burn_hours, self.dark_hours, self.starts) = (0.0, 0.0, 0);
    }

    /// Lamps bought after the first fill.
    pub fn lamps_bought(&self) -> u64 {
        self.spot_lamps.iter().chain(&self.planned_lamps).map(|&n| u64::from(n)).sum()
    }

    /// Failures of lamps and gear.
    pub fn failures(&self) -> u64 {
        self.lamp_failures.iter().chain(&self.gear_failures).map(|&n| u64::from(n)).sum()
    }
}
