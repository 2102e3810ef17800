//! What a trial says of itself, worked by hand; that the draw is even and fair is held in `learn` and by laws.

use super::*;

fn order(names: &[&str], sockets: usize, places: usize) -> AssignOrder {
    AssignOrder {
        title: String::new(),
        lamps: names.iter().map(|name| WantedLamp { name: (*name).into(), price: None }).collect(),
        of_each: None,
        sockets,
        places,
        seed: 7,
        from: None,
        is_blind: false,
        currency: None,
        cautions: vec![],
        remarks: vec![],
    }
}

#[test]
fn filling_in_order_is_as_uneven_as_by_hand() {
    // four rows of six: the first kind fills rows 1 and 2
    let report = assign(&order(&["A one", "B two"], 24, 6), "0").unwrap().report;
    assert_eq!(report.in_order.lamps[0].by_row, [6, 6, 0, 0]);
    assert_eq!((report.in_order.worst_row, report.in_order.worst_ends), (3.0, 0.0));
    assert_eq!((report.in_order.row_gap, report.in_order.place_gap), (2.0, 0.0));
    assert_eq!((report.by_lot.worst_row, report.by_lot.worst_ends), (0.0, 0.0));
    assert_eq!((report.by_lot.lamps[0].ends, report.by_lot.lamps[0].middle), (4, 8));
    assert_eq!(report.by_lot.row_gap, 0.0);
    // one row of six: the first kind has the places 1, 2 and 3, and one of the two ends
    let report = assign(&order(&["A one", "B two"], 6, 6), "0").unwrap().report;
    assert_eq!((report.in_order.place_gap, report.in_order.worst_ends), (3.0, 0.0));
    let of_each = Some(vec![2, 4]);
    let report = assign(&AssignOrder { of_each, ..order(&["A one", "B two"], 6, 6) }, "0").unwrap().report;
    assert!((report.in_order.worst_ends - (1.0 - 2.0 / 3.0)).abs() < 1e-12);
}

#[test]
fn codes_change_names_and_nothing_else() {
    let open = assign(&order(&["A one", "B two", "C three"], 23, 5), "0").unwrap();
    assert!(open.key.is_empty());
    let blind = assign(&AssignOrder { is_blind: true, ..order(&["A one", "B two", "C three"], 23, 5) }, "0").unwrap();
    assert_eq!(blind.report.lamps.iter().map(|lamp| lamp.sign.as_str()).collect::<Vec<_>>(), ["P", "T", "V"]);
    assert!(blind.report.lamps.iter().all(|lamp| lamp.name.is_none()));
    for (open_socket, blind_socket) in open.report.sockets.iter().zip(&blind.report.sockets) {
        let name = open.report.lamps[open_socket.lamp.unwrap()].name.clone().unwrap();
        let code = &blind.report.lamps[blind_socket.lamp.unwrap()].sign;
        let line = blind.key.iter().find(|line| line.code == *code).unwrap();
        assert_eq!(line.lamp, name);
    }
    // over some seeds the first name gets every code
    let first = |seed| {
        let order = AssignOrder { is_blind: true, seed, ..order(&["A one", "B two", "C three"], 23, 5) };
        assign(&order, "0").unwrap().key.into_iter().find(|line| line.lamp == "A one").unwrap().code
    };
    let codes: std::collections::BTreeSet<String> = (0..30).map(first).collect();
    assert_eq!(codes.len(), 3);
}

#[test]
fn a_trial_costs_the_difference_of_the_lamps() {
    let mut order = order(&["A one", "B two"], 24, 6);
    (order.lamps[0].price, order.lamps[1].price) = (Some(46.0), Some(124.0));
    assert_eq!(assign(&order, "0").unwrap().report.cost, None);
    order.currency = Some("USD".into());
    let cost = assign(&order, "0").unwrap().report.cost.unwrap();
    assert_eq!((cost.lamps, cost.extra, cost.prices.len()), (12.0 * 46.0 + 12.0 * 124.0, 12.0 * 78.0, 2));
    order.is_blind = true;
    assert!(assign(&order, "0").unwrap().report.cost.unwrap().prices.is_empty());
}

#[test]
fn letters_are_the_first_ones_where_these_differ() {
    let signs = |names: &[&str]| -> Vec<String> {
        assign(&order(names, 12, 6), "0").unwrap().report.lamps.into_iter().map(|lamp| lamp.sign).collect()
    };
    assert_eq!(signs(&["new one", "old one"]), ["N", "O"]);
    assert_eq!(signs(&["lamp 1", "lamp 2"]), ["A", "B"]);
    assert_eq!(signs(&["日本", "b"]), ["A", "B"]);
}

#[test]
fn a_room_of_which_nothing_is_known_is_as_square_as_it_goes() {
    let rows = |sockets: usize| (sockets.div_ceil(guessed_places(sockets)), guessed_places(sockets));
    assert_eq!(
        [rows(24), rows(23), rows(12), rows(1), rows(2), rows(30)],
        [(4, 6), (4, 6), (3, 4), (1, 1), (1, 2), (5, 6)]
    );
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let refused = |order: &AssignOrder| assign(order, "0").unwrap_err();
    assert_eq!(refused(&order(&["A"], 24, 6)), "--lamp: 1 kinds of lamp; a trial takes 2 to 12");
    assert_eq!(refused(&order(&["A", "A"], 24, 6)), "--lamp \"A\": named twice");
    assert_eq!(refused(&order(&["A", " "], 24, 6)), "--lamp: a name is empty");
    assert_eq!(refused(&order(&["A", "B"], 1, 1)), "1 sockets are too few for 2 kinds of lamp");
    assert!(
        refused(&order(&["A", "B"], 5000, 6)).starts_with("5000 sockets in rows of 6: lots are drawn for at most 1000")
    );
    let of_each = |counts: &[usize]| AssignOrder { of_each: Some(counts.to_vec()), ..order(&["A", "B"], 24, 6) };
    assert_eq!(refused(&of_each(&[3])), "--of-each: 1 counts for 2 kinds of lamp");
    assert_eq!(refused(&of_each(&[20, 5])), "--of-each: 25 lamps; there are 24 sockets");
    assert_eq!(refused(&of_each(&[usize::MAX, 5])), "--of-each: too many lamps; there are 24 sockets");
    assert!(refused(&of_each(&[24, 0])).contains("name fewer"));
}
