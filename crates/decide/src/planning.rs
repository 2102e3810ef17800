//! Loads of a room for a first talk with those who sign for its wiring and its cooling. No design.
//!
//! Belongs here: the arithmetic of these loads. Does not belong here: codes, which differ from place to place.

use crate::result::OptionResult;

/// Load on circuits over the lights' power where they burn for three hours or more: 125 % of continuous load, North American
/// practice (NEC 210.19(A)(1), 210.20(A) and Article 100, in summaries). Local codes and licensed people decide.
const CONTINUOUS: f64 = 1.25;
/// BTU/h in a kW: one international-table BTU is 1055.05585262 J exactly.
const BTU_H_PER_KW: f64 = 3_600_000.0 / 1_055.055_852_62;
/// BTU/h in a ton of refrigeration: by definition.
const BTU_H_PER_TON: f64 = 12_000.0;

/// Loads of one option's room at the full power of its lights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanningLoad {
    /// Wall power of all lights, kW.
    pub lights_kw: f64,
    /// What circuits are usually laid out for, kW.
    pub circuits_kw: f64,
    /// Heat that the lights leave in the room, BTU/h: all of their power.
    pub heat_btu_h: f64,
    /// The same in tons of refrigeration, without anything else that heats or moistens the room.
    pub cooling_tons: f64,
}

/// The loads of an option: fixtures × wall power, and what follows from that.
pub fn planning_load(option: &OptionResult) -> PlanningLoad {
    let lights_kw = f64::from(option.fixtures) * option.wall_power_w / 1000.0;
    let heat_btu_h = lights_kw * BTU_H_PER_KW;
    PlanningLoad {
        lights_kw,
        circuits_kw: lights_kw * CONTINUOUS,
        heat_btu_h,
        cooling_tons: heat_btu_h / BTU_H_PER_TON,
    }
}
