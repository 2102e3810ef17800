//! Whether what is said to be uncertain is as uncertain as that, on cards of the demonstration.

use super::*;

/// The demonstration's card A at 0.90 m; its readings are taken as right.
const ROWS: [[f64; 5]; 5] = [
    [402.0, 560.0, 628.0, 548.0, 396.0],
    [566.0, 792.0, 905.0, 781.0, 552.0],
    [634.0, 914.0, 1010.0, 902.0, 622.0],
    [571.0, 799.0, 911.0, 788.0, 559.0],
    [408.0, 571.0, 636.0, 557.0, 401.0],
];

fn order(filling: Option<Filling>) -> CanopyOrder {
    CanopyOrder {
        hours_a_day: 12.0,
        hours_from: "as asked".into(),
        target: None,
        height_m: None,
        filling,
        fill_doubtful: false,
    }
}

fn card(keys: &str, holes: &[usize]) -> (String, Card) {
    let cell = |k: usize| if holes.contains(&k) { "-".to_owned() } else { ROWS[k / 5][k % 5].to_string() };
    let rows: Vec<String> = (0..5).map(|r| (0..5).map(|c| cell(5 * r + c)).collect::<Vec<_>>().join(" ")).collect();
    let keys = format!("points: cell-centred\n{keys}");
    let keys = if keys.contains("spacing") || keys.contains("area") { keys } else { format!("spacing: 0.3 m\n{keys}") };
    let text = format!("fixture: arc\n{keys}\nheight: 0.9 m\n{}\n", rows.join("\n"));
    ("arc.txt".into(), Card::parse(&text).unwrap_or_else(|flaws| panic!("{flaws}")))
}

#[test]
fn guesses_from_neighbours_err_to_one_side_and_are_told_so() {
    // random holes by a small generator of this test; readings without an error of their own, so only the guesses err
    let mut state = 20_310_210u64;
    let mut below = |n: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) % n as u64) as usize
    };
    let truth = ROWS.iter().flatten().sum::<f64>() / 25.0;
    for count in 1..=6 {
        let mut squares = vec![];
        while squares.len() < 400 {
            let mut holes: Vec<usize> = vec![];
            while holes.len() < count {
                let hole = below(25);
                if !holes.contains(&hole) {
                    holes.push(hole);
                }
            }
            // some holes lie too close together to be filled
            let Ok(found) = canopy(&[card("point error: 0 %", &holes)], &order(Some(Filling::Neighbours)), "0") else {
                continue;
            };
            let height = &found.cards[0].heights[0];
            squares.push(((height.mean_umol_m2_s / truth - 1.0) / height.error.points).powi(2));
        }
        let rms = (squares.iter().sum::<f64>() / squares.len() as f64).sqrt();
        assert!(rms > 0.5 && rms <= 1.3, "{count} holes: rms of errors over what is told {rms}");
    }
}

#[test]
fn holes_round_a_peak_make_no_false_difference() {
    let keys = "sensor: s\nsource: x";
    let holed = card(keys, &[2, 6, 10, 12, 14, 18, 22]);
    let found = canopy(&[card(keys, &[]), holed], &order(Some(Filling::Neighbours)), "0").unwrap();
    let ratio = &found.groups[0].ratios[0];
    assert!((ratio.ratio - 1.0309).abs() < 1e-4, "{ratio:?}");
    assert!(ratio.too_close, "the two are one card: {ratio:?}");
}
