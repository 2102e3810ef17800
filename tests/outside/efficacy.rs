//! Photons for energy: efficacies from the literature through a whole run.

use serde_json::json;

use super::{assert_close, cases, data, number};
use crate::support::{option, patched, plan, run, with_options};

#[test]
fn electricity_per_mole_is_price_over_3_6_times_efficacy() {
    let file = data("efficacy.json");
    let price = number(&file, "price");
    for case in cases(&file) {
        // a kilowatt at the wall, so a thousand times the efficacy in µmol/s
        let light = json!({ "mean": { "ppfd": 1000.0 * number(case, "efficacy") } });
        let room = with_options(vec![patched(option("x"), json!({ "light": light }))]);
        let contracts = json!([{ "name": "flat", "tariff": { "energy": [{ "price": price }] } }]);
        let outcome = run(&plan(&patched(room, json!({ "contracts": contracts }))), 2, 61);
        let kwh = outcome.tallies[0].kwh / 2.0;
        assert_close(outcome.life(0, 0, 0).moles / kwh, number(case, "mol_per_kwh"), 1e-12, &case.to_string());
        assert_close(outcome.cell(0, 0, 0).plain, number(case, "per_mol"), 1e-12, &case.to_string());
    }
}
