//! The same number is the same number in every form of an answer: stored answer, page, Markdown, terminal, table, picture.
//!
//! What is expected is worked out from the stored answer by the rules of rounding alone (`render::number`), and looked up by
//! the names of row and column, so that neither another rounding nor a swapped column goes unseen.

mod forms;

use std::fs;

use decide::result::{Estimate, Spread};
use render::number;
use serde_json::Value;

use super::tidefall;
use crate::support::cells;
use forms::{Forms, set};

fn of<T: serde::de::DeserializeOwned>(value: &Value) -> T {
    serde_json::from_value(value.clone()).unwrap_or_else(|error| panic!("{error}: {value}"))
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap_or_else(|| panic!("no list: {value}"))
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no text: {value}"))
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().unwrap()).unwrap()
}

fn scaled(estimate: Estimate, by: f64) -> Estimate {
    Estimate { value: estimate.value * by, se: estimate.se * by }
}

fn percent(share: Estimate) -> String {
    number::percent(share.value, share.se)
}

/// Mean and range in ct.
fn ct(spread: &Spread) -> String {
    let (mean, range) = number::mean_and_range(spread, 100.0);
    format!("{mean} {range}")
}

/// A table of numbers as it is kept in files: rows by their names, every number with all its digits.
struct Kept {
    file: String,
    rows: Vec<Vec<String>>,
}

impl Kept {
    fn column(&self, name: &str) -> usize {
        let found = self.rows[0].iter().position(|known| known == name);
        found.unwrap_or_else(|| panic!("{} has no column {name}", self.file))
    }

    /// The number in the one row that has these texts.
    fn number(&self, keys: &[(&str, &str)], column: &str) -> f64 {
        let at = |row: &&Vec<String>| keys.iter().all(|(name, text)| row[self.column(name)] == *text);
        let found: Vec<&Vec<String>> = self.rows[1..].iter().filter(at).collect();
        assert_eq!(found.len(), 1, "{}: rows with {keys:?}", self.file);
        let cell = &found[0][self.column(column)];
        cell.parse().unwrap_or_else(|error| panic!("{}, {column}: {cell}: {error}", self.file))
    }

    fn is(&self, keys: &[(&str, &str)], column: &str, stored: &Value) {
        let (kept, stored) = (self.number(keys, column), stored.as_f64().unwrap());
        assert_eq!(kept.to_bits(), stored.to_bits(), "{}, {keys:?}, {column}: {kept} and {stored}", self.file);
    }

    /// An estimate and its standard error.
    fn estimate(&self, keys: &[(&str, &str)], column: &str, stored: &Value) {
        self.is(keys, column, &stored["value"]);
        self.is(keys, &format!("{column}_se"), &stored["se"]);
    }

    /// Every point of a distribution.
    fn spread(&self, keys: &[(&str, &str)], column: &str, stored: &Value) {
        for point in ["mean", "p5", "p10", "p50", "p80", "p90", "p95"] {
            self.estimate(keys, &format!("{column}_{point}"), &stored[point]);
        }
        self.is(keys, &format!("{column}_sd"), &stored["sd"]);
    }
}

/// A table as every kind of file keeps it that keeps numbers. Whoever writes them into another kind of file (cells of a
/// workbook, say, with what a program has worked out for them) adds it here, and all tests below hold for it.
fn kept(forms: &Forms, file: &str) -> Vec<Kept> {
    let text = fs::read_to_string(forms.folder.path().join("out").join(file)).unwrap();
    vec![Kept { file: file.to_owned(), rows: cells(&text) }]
}

fn demonstration(words: &[&str], stem: &str) -> Forms {
    let forms = Forms::of(tidefall(), words, stem);
    forms.agree();
    forms
}

#[test]
fn a_run_tells_the_same_in_every_form() {
    let forms = demonstration(&["run", "bay-2.json", "--trials", "300"], "result");
    let json = &forms.json;
    let (ranking, causes) = (forms.picture("all-ranking.svg"), forms.picture("all-causes.svg"));
    let (options, contracts) = (list(&json["options"]), list(&json["contracts"]));
    for option in options {
        let name = text(&option["name"]);
        let room =
            |column: &str, expected: &str| forms.says("The room over 5 years: means", 0, (name, column), expected);
        let mean = |member: &str| number::estimate(of::<Spread>(&option[member]).mean);
        room("lamps bought", &mean("lamps_bought"));
        room("failures", &mean("failures"));
        room("dark hours", &mean("dark_h"));
        room("light, mol", &mean("moles"));
        room("of the target light", &percent(of::<Spread>(&option["target_met"]).mean));
        for (contract, cost) in contracts.iter().zip(list(&option["costs"])) {
            let contract = text(&contract["name"]);
            let levelized = ct(&of(&cost["levelized"]));
            forms.says("Levelized cost of light, ct/mol", 0, (name, contract), &levelized);
            let total = number::estimate(of::<Spread>(&cost["total"]).mean);
            forms.says("Total cost of the room, USD, not discounted: mean", 0, (name, contract), &total);
            ranking.row(contract, name, &levelized);
            causes.below(contract, name, &number::ct(of::<Spread>(&cost["levelized"]).mean));
            for table in kept(&forms, "summary.csv") {
                let keys = [("option", name), ("contract", contract)];
                table.spread(&keys, "levelized_real_USD_per_mol", &cost["levelized"]);
                table.spread(&keys, "plain_real_USD_per_mol", &cost["plain"]);
                table.spread(&keys, "total_real_USD", &cost["total"]);
                table.spread(&keys, "present_value_real_USD", &cost["present_value"]);
                table.is(&keys, "effective_price_USD_per_kWh", &cost["effective_price_per_kwh"]);
                for (column, member) in [
                    ("moles_mol", "moles"),
                    ("lamps_bought", "lamps_bought"),
                    ("failures", "failures"),
                    ("dark_h", "dark_h"),
                ] {
                    table.spread(&keys, column, &option[member]);
                }
            }
            for table in kept(&forms, "causes.csv") {
                for cause in list(&cost["causes"]) {
                    let keys = [("option", name), ("contract", contract), ("cause", text(&cause["cause"]))];
                    table.is(&keys, "levelized_real_USD_per_mol", &cause["levelized"]);
                    table.is(&keys, "total_real_USD", &cause["total"]);
                }
            }
        }
    }
    for contract in contracts {
        for race in list(&contract["races"]) {
            let named = |member: &str| text(&options[index(&race[member])]["name"]);
            let keys = [("contract", text(&contract["name"])), ("option_a", named("a")), ("option_b", named("b"))];
            for table in kept(&forms, "races.csv") {
                table.estimate(&keys, "lead_real_USD_per_mol", &race["lead"]);
                table.estimate(&keys, "chance_a_cheaper", &race["chance_a_cheaper"]);
            }
        }
    }
}

#[test]
fn a_ranking_tells_the_same_in_every_form() {
    let forms = demonstration(&["rank", "bay-2.json", "--trials", "300"], "rank");
    let json = &forms.json;
    let options: Vec<&str> = list(&json["options"]).iter().map(text).collect();
    let ladder = forms.picture("rank-ladder.svg");
    for (k, contract) in list(&json["contracts"]).iter().enumerate() {
        let of_contract = text(&contract["contract"]);
        for (option, cost) in options.iter().zip(list(&contract["costs"])) {
            let spread: Spread = of(cost);
            let range = number::mean_and_range(&spread, 100.0).1;
            let table = "Levelized cost of light, ct/mol";
            forms.says(table, k, (option, "mean"), &number::ct(spread.mean));
            forms.says(table, k, (option, "10–90 % of trials"), &range);
            ladder.row(of_contract, option, &ct(&spread));
            for table in kept(&forms, "rank.csv") {
                let keys = [("contract", of_contract), ("option", option)];
                table.spread(&keys, "levelized_real_USD_per_mol", cost);
            }
        }
        for (option, loss) in options.iter().zip(list(&contract["losses"])) {
            let table = "If it is picked: what may be lost, USD for 1 room";
            forms.says(table, k, (option, "cheapest of all in"), &percent(of(&loss["cheapest"])));
            forms.says(table, k, (option, "1 in 20 loses more than"), &number::estimate(of(&loss["p95_money"])));
            for table in kept(&forms, "rank.csv") {
                let keys = [("contract", of_contract), ("option", option)];
                table.estimate(&keys, "loss_real_USD_mean", &loss["mean_money"]);
                table.estimate(&keys, "chance_cheapest", &loss["cheapest"]);
            }
        }
        let place = |option: usize| list(&contract["order"]).iter().position(|at| index(at) == option).unwrap();
        for pair in list(&contract["pairs"]) {
            let (a, b) = (index(&pair["a"]), index(&pair["b"]));
            let chance: Estimate = of(&pair["chance_a_cheaper"]);
            // the cheaper one stands first, and is told of
            let is_a = place(a) < place(b);
            let (first, second) = if is_a { (a, b) } else { (b, a) };
            let told = if is_a { chance } else { Estimate { value: 1.0 - chance.value, se: chance.se } };
            let row = format!("{} against {}", options[first], options[second]);
            forms.says("Pair by pair", k, (&row, "cheaper in"), &percent(told));
            let (picked, other) = if is_a { ("loss_if_a", "loss_if_b") } else { ("loss_if_b", "loss_if_a") };
            forms.says("Pair by pair", k, (&row, "expected loss if picked"), &number::estimate(of(&pair[picked])));
            forms.says("Pair by pair", k, (&row, "if the other is"), &number::estimate(of(&pair[other])));
            for table in kept(&forms, "rank-pairs.csv") {
                let keys = [("contract", of_contract), ("option_a", options[a]), ("option_b", options[b])];
                table.estimate(&keys, "lead_real_USD_per_mol_mean", &pair["lead"]);
                table.estimate(&keys, "chance_a_cheaper", &pair["chance_a_cheaper"]);
                table.estimate(&keys, "lead_real_USD_mean", &pair["lead_money"]);
            }
        }
    }
}

#[test]
fn bills_tell_the_same_in_every_form() {
    let forms = demonstration(&["bill", "main-meter.json"], "bill");
    for (k, sheet) in list(&forms.json["sheets"]).iter().enumerate() {
        let contract = text(&sheet["contract"]);
        let three = |table: &str, row: &str, amount: &Value| {
            for way in ["with", "without", "difference"] {
                let amount = number::fixed(amount[way].as_f64().unwrap(), 2);
                forms.says(table, k, (row, &format!("{way}, USD")), &amount);
            }
        };
        three("Month by month", "all bills", &sheet["total"]);
        three("Line by line, all bills together", "all lines", &sheet["total"]);
        let difference = number::fixed(sheet["total"]["difference"].as_f64().unwrap(), 2);
        forms.says("What the lights add, by contract", 0, (contract, "difference, USD"), &difference);
        let kwh = number::fixed(sheet["kwh_lights"].as_f64().unwrap(), 0);
        forms.says("Month by month", k, ("all bills", "lights, kWh"), &kwh);
        for bill in list(&sheet["bills"]) {
            let first = text(&bill["first"]);
            three("Month by month", &first[..7], &bill["total"]);
            for line in list(&bill["lines"]) {
                for table in kept(&forms, "lines.csv") {
                    let keys = [
                        ("contract", contract),
                        ("first", first),
                        ("part", text(&line["part"])),
                        ("line", text(&line["name"])),
                    ];
                    for way in ["with", "without"] {
                        table.is(&keys, &format!("amount_{way}_as_written_USD"), &line["amount"][way]);
                    }
                    table.is(&keys, "difference_as_written_USD", &line["amount"]["difference"]);
                }
            }
        }
    }
}

#[test]
fn cash_flows_tell_the_same_in_every_form() {
    let forms = demonstration(&["cash", "bay-2.json", "--reference", "A", "--trials", "300"], "cash");
    let curves = forms.picture("cash.svg");
    let whole = |spread: &Spread| {
        // the ends of the range are told no finer than the mean
        let mut spread = spread.clone();
        spread.p10.se = spread.p10.se.max(spread.mean.se);
        let (mean, range) = number::mean_and_range(&spread, 1.0);
        format!("{mean} {range}")
    };
    for option in list(&forms.json["options"]) {
        let name = text(&option["name"]);
        let cost = "Life-cycle cost of the room, real USD, present value";
        forms.says(cost, 0, (name, "life-cycle cost"), &whole(&of(&option["life_cycle_cost"])));
        forms.says(cost, 0, (name, "at the start"), &number::estimate(of(&option["outlay"])));
        forms.says(cost, 0, (name, "running costs"), &number::estimate(of(&option["running"])));
        let total: Spread = of(&option["budget"]["total"]);
        forms.says("Cash by year, real USD, not discounted", 0, ("total", name), &number::estimate(total.mean));
        curves.below("", name, &format!("{} USD", whole(&total)));
        let against = &option["against"];
        for table in kept(&forms, "cash-measures.csv") {
            let keys = [("option", name)];
            table.spread(&keys, "life_cycle_cost_real_USD", &option["life_cycle_cost"]);
            table.is(&keys, "outlay_real_USD", &option["outlay"]["value"]);
            table.is(&keys, "light_mol", &option["light_mol"]["value"]);
            if !against.is_null() {
                table.spread(&keys, "npv_real_USD", &against["npv"]);
                table.is(&keys, "chance_npv_above_0", &against["chance"]["value"]);
                table.is(&keys, "investment_real_USD", &against["investment"]["value"]);
            }
        }
        if against.is_null() {
            continue;
        }
        let measure = |row: &str, expected: &str| {
            forms.says("Against A cheap arc, real USD", 0, (row, name), expected);
        };
        let npv: Spread = of(&against["npv"]);
        measure("invested in addition", &number::estimate(of(&against["investment"])));
        measure("saved in running costs", &number::estimate(of(&against["savings"])));
        measure("NPV = net savings", &number::estimate(npv.mean));
        measure("chance that NPV > 0", &percent(of(&against["chance"])));
        let light = scaled(of(&option["light_mol"]), 1e-3);
        forms.says("At equal light, real USD", 0, (name, "light, present value, kmol"), &number::estimate(light));
    }
}

#[test]
fn every_other_answer_has_the_same_tables_on_its_page_in_markdown_and_in_a_terminal() {
    for (stem, words) in [
        ("hours", &["hours", "--trials", "8"][..]),
        ("breakeven", &["breakeven", "--option", "B", "--against", "A", "--of", "B.lamp.price", "--trials", "40"]),
        ("map", &["map", "--x", "electricity", "--y", "B.lamp.price", "--steps", "6", "--trials", "20"]),
        ("drivers", &["drivers", "--option", "C", "--option", "D", "--trials", "100"]),
        ("why", &["why", "--option", "D", "--against", "C", "--trials", "20"]),
        ("stage", &["stage", "--now", "A", "--later", "B", "--after", "2", "--keep-fixtures", "--trials", "100"]),
        ("mix", &["mix", "--option", "A", "--option", "D", "--trials", "100"]),
        ("canopy", &["canopy"]),
        ("assign", &["assign", "--seed", "7"]),
        ("score", &["score"]),
        ("fading", &["learn", "fading", "--draws", "100"]),
        ("learn-life", &["learn", "life", "--draws", "400"]),
    ] {
        Forms::of(tempfile::tempdir().unwrap(), words, stem).agree();
    }
}

#[test]
fn a_wrong_digit_or_a_swapped_column_is_seen() {
    let page = "<table><caption>Costs</caption><thead><tr><td></td><th>mean</th><th>range</th></tr></thead><tbody><tr>\
                <th>A &amp; B</th><td>1.95</td><td>1–2</td></tr></tbody></table>";
    let terminal = "Costs\n\n         mean  range\n───────  ────  ─────\nA & B    1.95    1–2\n";
    let markdown = "## Costs\n\n|  | mean | range |\n| --- | ---: | ---: |\n| A \\& B | 1.95 | 1–2 |\n";
    let all = |page: &str, terminal: &str, markdown: &str| {
        let captions = set(page);
        let names = captions.iter().map(|table| table.name.clone()).collect();
        (captions, forms::terminal(terminal, &names), forms::markdown(markdown))
    };
    let (a, b, c) = all(page, terminal, markdown);
    assert_eq!((&a, a[0].rows.len()), (&b, 1));
    assert_eq!(a, c);
    assert_eq!(forms::cell(&a, "Costs", 0, ("A & B", "range")), "1–2");
    let (a, b, c) = all(&page.replace("1.95", "1.96"), &terminal.replace("mean  range", "range  mean"), markdown);
    assert!(a != b && a != c && b != c);
}

/// The numbers of every cell of a workbook, worked out or not, as the file keeps them.
fn cells_of_workbook(path: &std::path::Path) -> Vec<f64> {
    let mut archive = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
    let mut numbers = vec![];
    for k in 0..archive.len() {
        let mut part = archive.by_index(k).unwrap();
        if part.name().unwrap().starts_with("xl/worksheets/sheet") {
            let mut text = String::new();
            std::io::Read::read_to_string(&mut part, &mut text).unwrap();
            let values = text.split("<v>").skip(1).filter_map(|rest| rest.split("</v>").next()?.parse::<f64>().ok());
            numbers.extend(values);
        }
    }
    numbers
}

#[test]
fn a_workbook_tells_the_same_in_every_form() {
    let forms = demonstration(&["workbook", "bay-2.json", "--trials", "300"], "workbook");
    let json = &forms.json;
    let cells = cells_of_workbook(&forms.folder.path().join("out/workbook.xlsx"));
    // a cell holds a number with 16 or 17 digits; amounts per mole stand in ct
    let holds = |what: &str, number: f64| {
        let found = cells.iter().any(|cell| (cell / number - 1.0).abs() < 1e-14 || *cell == number);
        assert!(found, "{what}: {number} stands in no cell");
    };
    let figures = list(&json["figures"]["options"]);
    for (option, figures) in list(&json["options"]).iter().zip(figures) {
        let name = text(&option["name"]);
        let levelized: Spread = of(&option["simulated"]["levelized"]);
        for point in [levelized.mean, levelized.p10, levelized.p50, levelized.p90] {
            holds(name, 100.0 * point.value);
        }
        holds(name, 100.0 * figures["levelized"].as_f64().unwrap());
        let printed =
            |column: &str, expected: &str| forms.says("Base path and simulation", 0, (name, column), expected);
        printed("base path, ct/mol", &number::fixed(100.0 * figures["levelized"].as_f64().unwrap(), 3));
        printed("simulated mean, ct/mol", &number::ct(levelized.mean));
        if let Some(npv) = figures["saved"]["npv"].as_f64() {
            holds(name, npv);
            printed("net present value, USD", &number::to_noise(npv, 0.0));
        }
    }
    for input in list(&json["prices"]) {
        holds(text(&input["place"]), input["p50"].as_f64().unwrap());
    }
}
