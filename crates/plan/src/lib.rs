//! A scenario as meant: checked, in one set of units, with everything worked out that no trial changes.
//!
//! Floor 3. [`Plan::new`] finds every fault at once. A plan can only be made here (its types are `non_exhaustive`), so
//! whoever holds one may rely on it.

mod cautions;
mod clock;
mod contract;
mod fading;
mod fixtures;
mod hours;
mod inputs;
mod kept;
mod lamps;
mod layout;
mod life;
mod light;
mod meters;
mod option;
mod path;
mod reader;
mod remarks;
mod role;
mod room;
mod sheet;
mod tax;

use calendar::Days;
use finance::Booking;
use jiff::civil::Date;
use scenario::fault::Fault;
use scenario::form::Scenario;
use units::Dimension;

pub use cautions::{at_the_bench, bench_cautions};
pub use clock::{Cell, ClockPlan};
pub use contract::{ContractPlan, LitPlan};
pub use inputs::{Input, InputId, Inputs};
pub use kept::{CleaningPlan, CrewPlan, EndPlan, Interval, RelampPlan, Rhythm, SparesPlan, Stock};
pub use lamps::{
    Alive, ClaimPlan, ComponentPlan, GearPlan, LampPlan, MaintenancePlan, StatedPlan, WarrantyPlan, WearOutPlan,
};
pub use option::{DirtPlan, LightPlan, MAX_SOCKETS, OptionPlan, PpfdMap, StartLossPlan};
pub use path::{MarketPlan, PartPath, PathPlan};
pub use tax::{LoanPlan, TaxPlan};

use reader::{Field, Reader, Spot};

/// A scenario as meant.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Plan {
    /// Title.
    pub title: String,
    /// First day.
    pub first_day: Date,
    /// Years simulated.
    pub years: u32,
    /// IANA time zone.
    pub time_zone: String,
    /// ISO 4217 currency code.
    pub currency: String,
    /// Month of the price level, YYYY-MM.
    pub prices_of: String,
    /// How money over time is counted.
    pub money: MoneyPlan,
    /// Canopy area, m².
    pub canopy_area: InputId,
    /// PPFD that the room should hold, µmol/m²/s.
    pub target_ppfd: Option<InputId>,
    /// PPFD that the darkest point should hold, µmol/m²/s.
    pub least_ppfd: Option<InputId>,
    /// PPFD above which photons are not useful, µmol/m²/s; absent: all count.
    pub ppfd_ceiling: Option<InputId>,
    /// Cooling plant.
    pub cooling: Option<CoolingPlan>,
    /// What the building needs for the lights.
    pub build_out: Option<BuildOutPlan>,
    /// Loads beside the lights.
    pub site: SitePlan,
    /// Days of the horizon.
    pub days: Days,
    /// The different clocks on which the contracts light up.
    pub clocks: Vec<ClockPlan>,
    /// Contracts in the scenario's order.
    pub contracts: Vec<ContractPlan>,
    /// Options in the scenario's order.
    pub options: Vec<OptionPlan>,
    /// Every input.
    pub inputs: Inputs,
    /// Cautions that the scenario calls for.
    pub cautions: Vec<String>,
    /// Things that look odd but are allowed.
    pub remarks: Vec<String>,
}

/// How money over time is counted.
#[derive(Debug, Clone, PartialEq)]
pub struct MoneyPlan {
    /// Discount rate per year, on the basis below.
    pub discount_rate: InputId,
    /// General inflation per year; present when money is nominal.
    pub inflation: Option<InputId>,
    /// When in its month money counts.
    pub booking: Booking,
    /// Tax, for cash flows alone.
    pub tax: Option<TaxPlan>,
    /// A loan, for cash flows alone.
    pub loan: Option<LoanPlan>,
}

impl MoneyPlan {
    /// "real" or "nominal".
    pub fn basis(&self) -> &'static str {
        if self.inflation.is_some() { "nominal" } else { "real" }
    }
}

/// Cooling plant.
#[derive(Debug, Clone, PartialEq)]
pub struct CoolingPlan {
    /// Coefficient of performance.
    pub cop: InputId,
    /// Share of the lamps' wall power that it removes.
    pub heat_share: InputId,
    /// Factor on the COP in each calendar month, January first; 0 where the plant is off.
    pub cop_by_month: [f64; 12],
    /// Time by which its power follows that of the lights, s.
    pub lag_seconds: i64,
    /// kvar for each kW.
    pub kvar_per_kw: f64,
}

/// What the building needs for the lights, for each kW of lights at the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BuildOutPlan {
    /// Electrical service.
    pub service: Option<InputId>,
    /// Cooling plant.
    pub cooling_plant: Option<InputId>,
}

/// Loads of the site beside the lights.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SitePlan {
    /// The loads; without any the lights have a meter of their own.
    pub loads: Vec<BaseLoadPlan>,
    /// Their sum as steps in time.
    pub base: Vec<meter::BaseStep>,
}

/// A load beside the lights.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseLoadPlan {
    /// What draws it.
    pub name: String,
    /// What it draws, and when.
    pub load: meter::BaseLoad,
}

impl Plan {
    /// Checks a scenario and works out what no trial changes.
    ///
    /// # Errors
    /// Every fault, in the order of the file's members.
    pub fn new(scenario: &Scenario) -> Result<Self, Vec<Fault>> {
        let mut reader = Reader::new(&scenario.currency);
        let root = Spot::root();
        room::heading(scenario, &root, &mut reader);
        let first_day = room::first_day(&scenario.start, &root, &mut reader);

        let money_at = root.member("money");
        let money = room::money(&scenario.money, &money_at, &mut reader);
        let canopy_at = root.member("canopy");
        let canopy_area =
            reader.figure(&scenario.canopy.area, &canopy_at.member("area"), Field::new(Dimension::Area, 1e-4, 1e7));
        let target_ppfd = scenario.canopy.target_ppfd.as_ref().map(|figure| {
            reader.figure(figure, &canopy_at.member("target_ppfd"), Field::new(Dimension::Ppfd, 0.001, 10_000.0))
        });
        let least_ppfd = scenario.canopy.least_ppfd.as_ref().map(|figure| {
            reader.figure(figure, &canopy_at.member("least_ppfd"), Field::new(Dimension::Ppfd, 0.001, 10_000.0))
        });
        let ppfd_ceiling = scenario.canopy.ppfd_ceiling.as_ref().map(|figure| {
            reader.figure(figure, &canopy_at.member("ppfd_ceiling"), Field::new(Dimension::Ppfd, 1.0, 10_000.0))
        });
        let meters = meters::Meters::read(scenario, &root.member("meters"), &mut reader);
        let canopy = light::Canopy { area: canopy_area, ceiling: ppfd_ceiling, meters };
        let photoperiod = room::photoperiod(&scenario.photoperiod, &root.member("photoperiod"), &mut reader);

        let frame = contract::Frame {
            photoperiod: &photoperiod,
            first_day,
            years: scenario.horizon_years.min(room::MAX_YEARS),
            real: money.inflation.is_none(),
        };
        let contracts_at = root.member("contracts");
        let drafts: Vec<contract::Draft> = scenario
            .contracts
            .iter()
            .enumerate()
            .map(|(k, c)| contract::read(c, &contracts_at.named(k, &c.name), &frame, &mut reader))
            .collect();
        let mut site = room::site(&scenario.base_load, &root.member("base_load"), &mut reader);
        let cooling = scenario.cooling.as_ref().map(|c| room::cooling(c, &root.member("cooling"), &mut reader));
        let build_out = scenario.build_out.as_ref().map(|b| room::build_out(b, &root.member("build_out"), &mut reader));
        let options_at = root.member("options");
        let options: Vec<OptionPlan> = scenario
            .options
            .iter()
            .enumerate()
            .map(|(k, o)| fixtures::read(o, &canopy, &options_at.named(k, &o.name), &mut reader))
            .collect();

        let faults_so_far = reader.faults.len();
        let laid_out = layout::lay_out(&drafts, scenario, first_day, &root, &mut reader);
        let (Some(first_day), Some((days, clocks, clock_of)), true) =
            (first_day, laid_out, reader.faults.len() == faults_so_far && faults_so_far == 0)
        else {
            return Err(reader.faults);
        };
        let lit_hours = clocks.iter().map(|clock| clock.timeline.lit_hours).fold(0.0, f64::max);
        for (k, option) in options.iter().enumerate() {
            let at = options_at.named(k, &option.name);
            fixtures::check_fading(option, &at, &mut reader);
            option.check_effort(&at, lit_hours, &mut reader);
        }
        if !reader.faults.is_empty() {
            return Err(reader.faults);
        }
        let loads: Vec<meter::BaseLoad> = site.loads.iter().map(|load| load.load).collect();
        site.base = meter::base_steps(&loads, &days);
        let contracts = drafts
            .into_iter()
            .zip(clock_of)
            .map(|(draft, clock)| draft.settle(clock, &clocks[clock], &days, &site, cooling.as_ref()))
            .collect();
        let mut plan = Self {
            title: scenario.title.clone(),
            first_day,
            years: scenario.horizon_years,
            time_zone: scenario.time_zone.clone(),
            currency: scenario.currency.clone(),
            prices_of: scenario.prices_of.clone().unwrap_or_else(|| scenario.start.chars().take(7).collect()),
            money,
            canopy_area,
            target_ppfd,
            least_ppfd,
            ppfd_ceiling,
            cooling,
            build_out,
            site,
            days,
            clocks,
            contracts,
            cautions: vec![],
            options,
            inputs: reader.inputs,
            remarks: reader.remarks,
        };
        plan.cautions = cautions::cautions(&plan, &scenario.options);
        plan.remarks.extend(remarks::remarks(&plan));
        Ok(plan)
    }

    /// Number of months of the horizon.
    pub fn months(&self) -> usize {
        self.years as usize * 12
    }
}
