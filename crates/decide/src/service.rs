//! The light that every option is to deliver, so that money can be compared at equal service.

use plan::{InputId, Plan};

/// A room's worth of light over the horizon.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Service {
    /// Photons, mol.
    pub moles: f64,
    /// Their present value at the median discount rate, mol.
    pub present_moles: f64,
    /// What it is, in words.
    pub words: String,
}

/// Light that holds the target PPFD over the whole canopy, at the photoperiod of a contract and at the medians of the inputs;
/// without a target the light of the first option when new.
pub(crate) fn service(plan: &Plan, contract: usize) -> Service {
    let medians = plan.inputs.medians();
    let value = |id: InputId| medians[id.index()];
    let area = value(plan.canopy_area);
    let (flux, words) = match plan.target_ppfd {
        Some(target) => (
            value(target) * area,
            format!("{:.0} µmol/m²/s held over {area:.0} m² for {} years", value(target), plan.years),
        ),
        None => {
            let option = &plan.options[0];
            let flux = option.light.measured(&medians);
            let room = flux * f64::from(option.fixtures);
            (room, format!("the light of {} when new, held for {} years", option.name, plan.years))
        }
    };
    let mut factors = vec![0.0; plan.months()];
    finance::discount_factors(value(plan.money.discount_rate), plan.money.booking, 12.0, &mut factors);
    let (mut moles, mut present_moles) = (0.0, 0.0);
    for cell in &plan.clocks[plan.contracts[contract].clock].cells {
        let of_cell = (cell.to - cell.from) * cell.flux * flux * 3600.0 * 1e-6;
        moles += of_cell;
        present_moles += of_cell * factors[cell.month];
    }
    Service { moles, present_moles, words }
}
