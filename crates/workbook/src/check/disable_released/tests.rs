use super::super::{Level, run_without_mends};
use crate::{model::*, testing::Bench};

/// MC is ready when KEY is on and its second input allows it; the charger's output tells the lead.
fn plugged(kind: SignalKind, pull: PullTo, ready: &str) -> Bench {
    let mut bench = Bench::new();
    let input = bench.cavity("MC-A", "19");
    bench.edit(input, |c: &mut Cavity| {
        c.name = "INHIBIT".to_owned();
        c.kind = Some(kind);
        c.limits.pull = Some(Pull { to: pull, ohm: None });
        if kind == SignalKind::DigitalInLow {
            (c.limits.on_below_v, c.limits.off_above_v) = (Some(1.5), Some(3.5));
        } else {
            (c.limits.on_above_v, c.limits.off_below_v) = (Some(5.5), Some(2.0));
        }
    });
    bench.wire("W54", "CH-A8", "MC-A19", 0.5, 3.6);
    bench.expression("MC", "MC.inhibit", "MC-A19");
    bench.expression("MC", "MC.ready", ready);
    bench.rule("I1", "never charge_lead is in and MC.ready");
    bench
}

fn found(bench: &Bench) -> Vec<(Level, String)> {
    let report = run_without_mends(&bench.snapshot());
    report
        .of("disable-let-go")
        .map(|f| (f.level, f.sentence.clone()))
        .collect()
}

#[test]
fn an_inhibit_at_ground_lets_go_when_its_wire_breaks() {
    let bench = plugged(SignalKind::DigitalInLow, PullTo::Supply, "not MC.inhibit");
    assert_eq!(
        found(&bench),
        [(
            Level::Stop,
            "W54 open: MC-A19 (INHIBIT) goes to 12.6 V by its pull-up, reads off, and MC.ready may come true."
                .to_owned()
        )]
    );
    let report = run_without_mends(&bench.snapshot());
    let finding = report.of("disable-let-go").next().unwrap();
    assert!(
        finding
            .why_it_matters
            .contains("its source without power and the wire to supply"),
        "{}",
        finding.why_it_matters
    );
    assert!(
        finding.mend.as_ref().unwrap().changes.is_empty(),
        "the sense is never turned by a key"
    );
}

#[test]
fn turning_the_sense_alone_is_no_mend_and_a_permit_is() {
    let turned = plugged(SignalKind::DigitalInHigh, PullTo::Ground, "not MC.inhibit");
    assert_eq!(
        found(&turned)[0].0,
        Level::Stop,
        "open reads off, and off holds nothing back"
    );
    let permit = plugged(SignalKind::DigitalInHigh, PullTo::Ground, "MC.inhibit");
    assert_eq!(found(&permit), []);
}

#[test]
fn an_input_that_nothing_pulls_and_a_permit_at_ground() {
    let bare = plugged(SignalKind::DigitalInBare, PullTo::Nothing, "MC.inhibit");
    assert!(
        found(&bare)[0].1.contains("floats, reads neither on nor off"),
        "{:?}",
        found(&bare)
    );
    let low = plugged(SignalKind::DigitalInLow, PullTo::Supply, "MC.inhibit");
    assert_eq!(
        found(&low)[0].0,
        Level::Note,
        "safe when it breaks, not when it chafes"
    );
}

/// Brake: one contact that closes, one that opens, over a wire each.
#[test]
fn a_second_input_on_the_same_switch_holds_back_as_well() {
    let brake = |second: bool| {
        let mut bench = Bench::new();
        let switch = bench.switch("brake", &["released", "pressed"]);
        for (number, form) in [
            ("16", ContactForm::NormallyOpen),
            ("17", ContactForm::NormallyClosed),
        ] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| {
                c.kind = Some(SignalKind::DigitalInHigh);
                c.limits.pull = Some(Pull {
                    to: PullTo::Ground,
                    ohm: None,
                });
            });
            let driver = Driver::Switch {
                switch,
                operated_in: vec!["pressed".to_owned()],
            };
            let pin = format!("BP-A{number}");
            bench.part(
                &format!("contact {number}"),
                Bench::contact(form, driver),
                &["BP-A1", &pin],
            );
            bench.wire(&format!("W{number}"), &pin, &format!("MC-A{number}"), 0.5, 2.8);
        }
        let reads = if second { "MC-A16 or not MC-A17" } else { "MC-A16" };
        bench.expression("MC", "MC.brake", reads);
        bench.expression("MC", "MC.torque", "not MC.brake");
        bench.rule("I4", "never brake is pressed and MC.torque");
        found(&bench).len()
    };
    assert_eq!((brake(true), brake(false)), (0, 1));
}

#[test]
fn what_an_input_holds_back_is_asked_for_where_no_expression_says() {
    let mut bench = plugged(SignalKind::DigitalInLow, PullTo::Supply, "MC-A2");
    bench.edit(bench.named::<Expression>("MC.inhibit"), |e: &mut Expression| {
        e.text = "MC-A2".to_owned()
    });
    let report = run_without_mends(&bench.snapshot());
    assert_eq!(report.of("disable-let-go").count(), 0);
    assert!(
        report
            .cannot_check
            .iter()
            .any(|c| c.missing == "what is held back or let happen by MC-A19 (INHIBIT), as an expression"),
        "{:?}",
        report.cannot_check
    );
}
