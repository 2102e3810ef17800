//! Loads for planning, against a standard's factors and by hand.

use decide::planning::planning_load;
use decide::{Provenance, summarize};
use engine::Ended;

use super::{assert_close, data, number};
use crate::support::{plan, room, run};

#[test]
fn heat_and_tons_follow_their_definitions() {
    let file = data("planning_loads.json");
    let plan = plan(&room());
    let provenance = Provenance { program: String::new(), input_digest: String::new(), seed: 1, what_ifs: vec![] };
    let mut result = summarize(&plan, &run(&plan, 2, 1), Ended::Trials, provenance);
    let option = &mut result.options[0];
    (option.fixtures, option.wall_power_w) = (number(&file, "fixtures") as u32, number(&file, "wall_w"));
    let load = planning_load(option);
    let watts = 1000.0 * number(&file, "lights_kw");
    assert_close(load.lights_kw, number(&file, "lights_kw"), 1e-12, "lights");
    assert_close(load.circuits_kw, 1.25 * number(&file, "lights_kw"), 1e-12, "circuits");
    assert_close(load.heat_btu_h, watts / number(&file, "w_per_btu_h"), 2e-7, "heat");
    assert_close(load.cooling_tons, watts / number(&file, "w_per_ton"), 2e-7, "tons");
}
