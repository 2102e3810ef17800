//! Rate sheets and base loads that cannot be billed.
use scenario::{Page, gather};
use plan::Plan;
use serde_json::{Value, json};
use crate::support::{Bare, patched, room};

fn said(text: &str) -> String {
    let page = Page { name: "room.json".into(), text: text.to_owned() };
    let shown = match gather(page, &Bare, &[]) {
        Err(faulty) => faulty.sources.show(&faulty.faults, false),
        Ok(gathered) => match Plan::new(&gathered.form) {
            Err(faults) => gathered.sources.show(&gathered.sources.in_order(faults), false),
            Ok(_) => return "NO FAULT".into(),
        },
    };
    let shown: Vec<&str> = shown.lines().map(str::trim).filter(|line| ["error: ", "= allowed: ", "= help: "].iter().any(|lead| line.starts_with(lead))).collect();
    shown.join("\n")
}
fn with(tariff: Value) -> String {
    let mut room = room();
    room["contracts"][0]["tariff"] = patched(json!({"energy": [{"price": 0.1}]}), tariff);
    said(&room.to_string())
}
fn contract(c: Value) -> String {
    let mut room = room();
    room["contracts"][0] = patched(room["contracts"][0].clone(), c);
    said(&room.to_string())
}
fn whole(c: Value) -> String { said(&patched(room(), c).to_string()) }

#[test]
fn print_all() {
    let b = |blocks: Value| with(json!({"energy":[{"blocks":blocks}]}));
    let d = |rule: Value| with(json!({"seasons":{"summer":"06-01..09-30","winter":"10-01..05-31"},"demand":[rule]}));
    let e = |when: Value| with(json!({"seasons":{"summer":"06-01..09-30","winter":"10-01..05-31"},"energy":[{"when":when,"price":1},{"price":1}]}));
    let h = |h: Value| with(json!({"holidays":h}));
    let s = |s: Value| with(json!({"seasons":s}));
    let all: Vec<(&str, String)> = vec![
        ("hours", with(json!({"energy":[{"when":{"from":"08:00","until":"20:00"},"price":1}]}))),
        ("weekend", with(json!({"energy":[{"when":{"days":["weekday"]},"price":1},{"when":{"days":["weekend"],"from":"06:30"},"price":1}]}))),
        ("month", with(json!({"energy":[{"when":{"months":[1,2,3,4,5,6,8,9,10,11,12]},"price":1}]}))),
        ("holidays", with(json!({"holidays":{"yearly":["12-25"],"billed_as":"holiday_only"},"energy":[{"when":{"days":["weekday"]},"price":1},{"when":{"days":["weekend"]},"price":1}]}))),
        ("season", with(json!({"seasons":{"summer":"06-16..09-30","winter":"10-01..06-15"},"energy":[{"when":{"seasons":["winter"]},"price":1},{"when":{"seasons":["summer"],"until":"23:00"},"price":1}]}))),
        ("gap", s(json!({"summer":"06-01..09-30","winter":"10-02..05-31"}))),
        ("overlap", s(json!({"summer":"06-01..10-01","winter":"10-01..05-31"}))),
        ("overlap wrap", s(json!({"summer":"03-01..12-31","winter":"12-01..02-28"}))),
        ("season text", s(json!({"summer":"06-01","winter":"10-01..05-31"}))),
        ("season 02-29", s(json!({"early":"01-01..02-29","late":"03-01..12-31"}))),
        ("season none", s(json!({}))),
        ("season 13", s(json!({"x":"13-01..12-31"}))),
        ("blocks fall", b(json!([{"up_to":200,"price":1},{"up_to":100,"price":1},{"price":1}]))),
        ("blocks equal", b(json!([{"up_to":200,"price":1},{"up_to":200,"price":1},{"price":1}]))),
        ("blocks zero", b(json!([{"up_to":0,"price":1},{"price":1}]))),
        ("blocks neg", b(json!([{"up_to":-5,"price":1},{"price":1}]))),
        ("blocks last", b(json!([{"up_to":200,"price":1},{"up_to":400,"price":1}]))),
        ("blocks middle", b(json!([{"price":1},{"up_to":400,"price":1},{"price":1}]))),
        ("blocks 1e308", b(json!([{"up_to":1e308,"price":1},{"price":1}]))),
        ("blocks empty", b(json!([]))),
        ("blocks price", with(json!({"energy":[{"price":1,"blocks":[{"price":1}]}]}))),
        ("no price", with(json!({"energy":[{}]}))),
        ("price 1e308", with(json!({"energy":[{"price":1e308}]}))),
        ("price neg", with(json!({"energy":[{"price":-0.1}]}))),
        ("empty energy", with(json!({"energy":[]}))),
        ("two blocked", with(json!({"energy":[{"when":{"until":"12:00"},"blocks":[{"up_to":1,"price":1},{"price":1}]},{"blocks":[{"up_to":1,"price":1},{"price":1}]}]}))),
        ("time order per kw", with(json!({"blocks_shared":"in_time_order","energy":[{"block_unit":"kWh/kW","when":{"until":"12:00"},"blocks":[{"up_to":1,"price":1},{"price":1}]},{"blocks":[{"up_to":1,"price":1},{"price":1}]}]}))),
        ("block unit", with(json!({"energy":[{"block_unit":"MWh","blocks":[{"up_to":1,"price":1},{"price":1}]}]}))),
        ("zone", whole(json!({"time_zone":"Europe/Atlantis"}))),
        ("holiday 02-29", h(json!({"yearly":["02-29"]}))),
        ("holiday 13", h(json!({"yearly":["13-01"]}))),
        ("holiday date", h(json!({"dates":["2031-02-30"]}))),
        ("holiday nth", h(json!({"weekdays":[{"month":11,"day":"thu","nth":5}]}))),
        ("holiday group", h(json!({"weekdays":[{"month":11,"day":"weekday","nth":4}]}))),
        ("holiday month", h(json!({"weekdays":[{"month":13,"day":"thu","nth":4}]}))),
        ("valid late", with(json!({"valid":{"until":"2033-06-30"}}))),
        ("valid early", with(json!({"valid":{"from":"2032-03-01"}}))),
        ("valid both", with(json!({"valid":{"from":"2032-03-01","until":"2033-06-30"}}))),
        ("valid order", with(json!({"valid":{"from":"2034-03-01","until":"2033-06-30"}}))),
        ("valid text", with(json!({"valid":{"from":"1 March 2034"}}))),
        ("percent 8.25", with(json!({"percent":[{"share":8.25,"on":["energy"]}]}))),
        ("percent 120", with(json!({"percent":[{"share":{"is":120,"unit":"%"},"on":["energy"]}]}))),
        ("percent empty", with(json!({"percent":[{"share":0.1,"on":[]}]}))),
        ("percent part", with(json!({"percent":[{"share":0.1,"on":["taxes"]}]}))),
        ("ratchet 80", d(json!({"price":1,"ratchet":{"share":80,"previous_months":11}}))),
        ("ratchet 0 months", d(json!({"price":1,"ratchet":{"share":0.8,"previous_months":0}}))),
        ("ratchet 61", d(json!({"price":1,"ratchet":{"share":0.8,"previous_months":61}}))),
        ("ratchet months", d(json!({"price":1,"ratchet":{"share":0.8,"previous_months":11,"peaks_of_months":[0],"lifts_in_months":[]}}))),
        ("minimum kw", d(json!({"price":1,"minimum_kw":-1}))),
        ("minimum kw big", d(json!({"price":1,"minimum_kw":1e308}))),
        ("demand none", d(json!({}))),
        ("demand two", d(json!({"price":1,"by_month":[1,1,1,1,1,1,1,1,1,1,1,1]}))),
        ("demand eleven", d(json!({"by_month":[1,1,1,1,1,1,1,1,1,1,1]}))),
        ("demand season", d(json!({"by_season":{"summer":1,"winter":1,"spring":2}}))),
        ("demand season missing", d(json!({"by_season":{"summer":1}}))),
        ("demand no seasons", with(json!({"demand":[{"by_season":{"summer":1}}]}))),
        ("demand edge", d(json!({"price":1,"when":{"from":"14:07"}}))),
        ("demand edge 30", with(json!({"demand_interval":30,"demand":[{"price":1,"when":[{"until":"06:00"},{"from":"14:15"}]}]}))),
        ("interval 7", with(json!({"demand_interval":7}))),
        ("interval 0", with(json!({"demand_interval":0}))),
        ("interval big", with(json!({"demand_interval":4000000000u32,"demand":[{"price":1,"when":{"from":"14:15"}}]}))),
        ("when season", e(json!({"seasons":["sumer"]}))),
        ("when season none", with(json!({"energy":[{"when":{"seasons":["summer"]},"price":1},{"price":1}]}))),
        ("when empty", e(json!([]))),
        ("when days empty", e(json!({"days":[]}))),
        ("when day", e(json!({"days":["monday"]}))),
        ("when months empty", e(json!({"months":[]}))),
        ("when months", e(json!({"months":[0,13]}))),
        ("when seasons empty", e(json!({"seasons":[]}))),
        ("when same", e(json!({"from":"08:00","until":"08:00"}))),
        ("when 25", e(json!({"from":"25:00"}))),
        ("when from 24", e(json!({"from":"24:00"}))),
        ("base season", whole(json!({"base_load":[{"name":"b","power":1,"when":{"seasons":["summer"]}}]}))),
        ("base holiday", whole(json!({"base_load":[{"name":"b","power":1,"when":{"days":["holiday","sun"]}}]}))),
        ("base power", whole(json!({"base_load":[{"name":"b","power":-1}]}))),
        ("base uncertain", whole(json!({"base_load":[{"name":"b","power":{"uniform":{"low":1,"high":2}}}]}))),
        ("base pf", whole(json!({"base_load":[{"name":"b","power":1,"power_factor":1.2}]}))),
        ("base 1e308", whole(json!({"base_load":[{"name":"b","power":1e308}]}))),
        ("peaks name", contract(json!({"peaks_before":[{"demand":"on-peak","kw":[1]}]}))),
        ("peaks name2", contract(json!({"tariff":{"energy":[{"price":1}],"demand":[{"name":"peak","price":1}]},"peaks_before":[{"demand":"on-peak","kw":[1]}]}))),
        ("peaks kw", contract(json!({"tariff":{"energy":[{"price":1}],"demand":[{"name":"peak","price":1}]},"peaks_before":[{"demand":"peak","kw":[1,-2,1e308]}]}))),
        ("read day", contract(json!({"read_day":29}))),
        ("read day 0", contract(json!({"read_day":0}))),
        ("read both", contract(json!({"read_day":2,"read_dates":["2040-12-01"]}))),
        ("read order", contract(json!({"read_dates":["2035-02-01","2035-02-01","2040-12-01"]}))),
        ("read short", contract(json!({"read_dates":["2035-02-01"]}))),
        ("read none", contract(json!({"read_dates":[]}))),
        ("pf none", with(json!({"power_factor":{"rule":"scale_demand"}}))),
        ("pf extra", with(json!({"power_factor":{"rule":"kva_billing","below":0.9}}))),
        ("pf kvar", with(json!({"power_factor":{"rule":"kvar_over_allowance"}}))),
        ("pf range", with(json!({"power_factor":{"rule":"percent_per_point","below":90,"percent":1.5}}))),
        ("rider both", with(json!({"riders":[{"price":1,"by_month":[1,1,1,1,1,1,1,1,1,1,1,1]}]}))),
        ("rider none", with(json!({"riders":[{}]}))),
        ("fixed each", with(json!({"fixed":[{"price":1,"each":"week"}]}))),
        ("minimum neg", with(json!({"minimum_bill":{"price":-1,"each":"month"}}))),
        ("minimum counts", with(json!({"minimum_bill":{"price":1,"each":"month","counts":[]}}))),
        ("rounding", with(json!({"rounding":"cents"}))),
        ("shared", with(json!({"blocks_shared":"evenly"}))),
        ("unit", with(json!({"energy":[{"price":{"is":12,"unit":"ct/kWh"}}]}))),
        ("path nominal", contract(json!({"price_path":{"basis":"nominal"}}))),
        ("path levels", contract(json!({"price_path":{"energy":{"levels":[1,1.1]}}}))),
        ("path both", contract(json!({"price_path":{"energy":{"levels":[1,1,1,1,1,1,1,1,1,1],"rise":0.1}}}))),
        ("path none", contract(json!({"price_path":{"energy":{}}}))),
        ("path rise", contract(json!({"price_path":{"energy":{"rise":2}}}))),
        ("path level", contract(json!({"price_path":{"energy":{"levels":[1,1,1,1,-1,1,1,1,1,1]}}}))),
        ("market none", contract(json!({"price_path":{"market":{}}}))),
        ("market moves", contract(json!({"price_path":{"market":{"moves":[],"yearly_steps":{"drift":0,"volatility":-0.1}}}}))),
        ("market history", contract(json!({"price_path":{"market":{"history":{"prices":{"source":"x","first_year":2001,"prices":[1,2]}}}}}))),
        ("market history 0", contract(json!({"price_path":{"market":{"history":{"prices":{"source":"x","first_year":2001,"prices":[1,2,0,3]}}}}}))),
        ("market block", contract(json!({"price_path":{"market":{"history":{"block_years":9,"prices":{"source":"x","first_year":2001,"prices":[1,2,1,3]}}}}}))),
    ];
    for (name, said) in all { println!("## {name}\n{said}"); }
}
