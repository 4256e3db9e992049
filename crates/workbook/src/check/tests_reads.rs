//! Every field of every kind of record is edited, in all records of the demo at once, and what is kept then is held against
//! what is found anew: a check that reads a field it does not name in its `reads` is named here.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
    thread,
};

use serde_json::{Map, Value, json};

use super::{CHECKS, Out, needs, run_without_mends};
use crate::{
    Book,
    analysis::{OUTSIDE, Snapshot, Touched},
    edit::Change,
    model::*,
    signals::Signals,
    testing::DEMO,
};

/// Rounds in which each record is given another value.
const ROUNDS: usize = 2;

/// A book as lists of records by kind.
type Lists = Map<String, Value>;

fn lists(book: &Book) -> Lists {
    match serde_json::to_value(RecordLists::from(book.tables())) {
        Ok(Value::Object(lists)) => lists,
        _ => panic!("lists of records"),
    }
}

fn book(lists: &Lists) -> Book {
    let lists: RecordLists = serde_json::from_value(Value::Object(lists.clone())).unwrap();
    let mut tables = Tables::default();
    for record in lists.into_records() {
        tables.put(record);
    }
    Book::from_tables(tables, None)
}

/// The book with these records instead of its own of a kind.
fn with(book: &Book, kind: Kind, records: &Value) -> Book {
    let (mut before, mut after) = (Vec::new(), Vec::new());
    book.tables()
        .each_ref(kind, &mut |record| before.push(record.key()));
    let lists: RecordLists = serde_json::from_value(json!({ kind.name(): records })).unwrap();
    for record in lists.into_records() {
        after.push((record.key(), record));
    }
    let mut altered = book.clone();
    let gone = before.iter().filter(|key| after.iter().all(|(is, _)| is != *key));
    let gone = gone.map(|key| (book.tables().get(*key), None));
    let put = after
        .iter()
        .map(|(key, is)| (book.tables().get(*key), Some(is.clone())));
    let changes = gone.chain(put).map(|(before, after)| Change { before, after });
    altered.follow(&changes.collect::<Vec<_>>());
    altered
}

/// The demo, with two records of each kind that it has none of.
pub(super) fn demo_and_more() -> Book {
    let demo: Value = serde_json::from_str(DEMO).unwrap();
    let mut lists = demo["records"].as_object().unwrap().clone();
    let id = |kind: Kind, nth: usize| lists[kind.name()][nth]["id"].clone();
    let mut schema = serde_json::to_value(schemars::schema_for!(RecordLists)).unwrap();
    schema["ids"] = json!([id(Kind::Wire, 3), id(Kind::Wire, 40)]);
    let mut made = Lists::new();
    for kind in Kind::ALL.iter().filter(|kind| !lists.contains_key(kind.name())) {
        let of_kind = &schema["properties"][kind.name()]["items"];
        let mut records: Vec<Value> = samples(&schema, of_kind).into_iter().take(2).collect();
        for (nth, record) in (1u128..).zip(&mut records) {
            record["id"] = json!(Id::<Wire>::from_bits(nth));
            match kind {
                Kind::Drum => record["area_mm2"] = json!(0.5),
                Kind::TerminalNumber => {
                    record["at"] = json!({ "cavity": id(Kind::Cavity, 20 * nth as usize) });
                    record["number"] = json!("15");
                }
                Kind::Reading => {
                    record["at_cavity"] = id(Kind::Cavity, 20 * nth as usize);
                    record["lapsed"] = json!("W44: length was 1, is 2");
                }
                Kind::StepDone => record["redo"] = json!("W44: length was 1, is 2"),
                _ => {}
            }
        }
        made.insert(kind.name().to_owned(), Value::Array(records));
    }
    lists.extend(made);
    book(&lists)
}

/// The fields of every kind but its id, each with values that its schema allows.
fn fields() -> BTreeMap<Kind, BTreeMap<String, Vec<Value>>> {
    let schema = serde_json::to_value(schemars::schema_for!(RecordLists)).unwrap();
    let of_kind = |kind: &Kind| {
        let name = schema["properties"][kind.name()]["items"]["$ref"]
            .as_str()
            .unwrap();
        let record = &schema["$defs"][name.rsplit('/').next().unwrap()];
        let fields = record["properties"].as_object().unwrap().iter();
        let values = |(name, field): (&String, &Value)| (name.clone(), samples(&schema, field));
        let fields = fields.filter(|(name, _)| *name != "id").map(values);
        (*kind, fields.collect())
    };
    Kind::ALL.iter().map(of_kind).collect()
}

/// Some values that a schema allows.
fn samples(root: &Value, schema: &Value) -> Vec<Value> {
    if let Some(name) = schema["$ref"].as_str() {
        let name = name.rsplit('/').next().unwrap();
        return match name {
            // What can be named is found among the values that the field has.
            "Id" => root["ids"].as_array().cloned().unwrap_or_default(),
            _ => samples(root, &root["$defs"][name]),
        };
    }
    for choice in ["oneOf", "anyOf"] {
        if let Some(choices) = schema[choice].as_array() {
            return choices.iter().flat_map(|one| samples(root, one)).collect();
        }
    }
    if let Some(constant) = schema.get("const") {
        return vec![constant.clone()];
    }
    if let Some(words) = schema["enum"].as_array() {
        return words.clone();
    }
    let types = match &schema["type"] {
        Value::Array(types) => types.clone(),
        one => vec![one.clone()],
    };
    types
        .iter()
        .filter_map(Value::as_str)
        .flat_map(|of| of_type(root, schema, of))
        .collect()
}

fn of_type(root: &Value, schema: &Value, of: &str) -> Vec<Value> {
    match of {
        "null" => vec![Value::Null],
        "boolean" => vec![json!(true), json!(false)],
        "integer" => vec![json!(1), json!(7)],
        "number" => vec![json!(0.3), json!(1.7), json!(23.0)],
        "string" if schema["format"] == "date-time" => {
            vec![json!("2026-03-01T09:30:00Z"), json!("2026-03-02T09:30:00Z")]
        }
        "string" => match schema["examples"].as_array() {
            Some(examples) => examples.clone(),
            None => ["", "main", "precharge run", "RUN OUT 5"]
                .map(|text| json!(text))
                .to_vec(),
        },
        "array" => {
            let items = samples(root, &schema["items"]);
            let some: Vec<Value> = items.iter().take(2).cloned().collect();
            vec![json!([]), json!(some)]
        }
        // Each of its fields once with each of its values, the others with their first.
        "object" => {
            let Some(fields) = schema["properties"].as_object() else {
                return Vec::new();
            };
            let values: BTreeMap<&String, Vec<Value>> = fields
                .iter()
                .map(|(name, field)| (name, samples(root, field)))
                .collect();
            let most = values.values().map(Vec::len).max().unwrap_or(0);
            let nth = |n: usize| {
                let one = |(name, values): (&&String, &Vec<Value>)| {
                    Some((
                        (*name).clone(),
                        values.get(n.min(values.len().saturating_sub(1)))?.clone(),
                    ))
                };
                Value::Object(values.iter().filter_map(one).collect())
            };
            (0..most).map(nth).collect()
        }
        other => panic!("type {other}"),
    }
}

/// Whether a record of a kind may look so.
fn may_be(kind: Kind, record: &Value) -> bool {
    let lists = json!({ kind.name(): [record] });
    serde_json::from_value::<RecordLists>(lists).is_ok()
}

/// Gives every record of a kind another value in a field, where it may have one and `wanted` takes the record as it was and
/// would be: a value that the field has elsewhere, or that its schema allows. How many took one.
fn alter(
    lists: &mut Lists,
    (kind, field, samples): (Kind, &str, &[Value]),
    round: usize,
    wanted: &dyn Fn(&Value, &Value) -> bool,
) -> usize {
    let any_id: Vec<Value> = lists
        .values()
        .filter_map(|list| Some(list.get(0)?["id"].clone()))
        .collect();
    let Some(Value::Array(records)) = lists.get_mut(kind.name()) else {
        return 0;
    };
    let there = records
        .iter()
        .map(|record| record.get(field).unwrap_or(&Value::Null));
    let mut values: Vec<Value> = Vec::new();
    for value in samples.iter().chain(there) {
        if !values.contains(value) {
            values.push(value.clone());
        }
    }
    if values.iter().all(Value::is_null) {
        values.extend(any_id);
    }
    let mut taken = 0;
    for (nth, record) in records.iter_mut().enumerate() {
        let was = record.get(field).unwrap_or(&Value::Null);
        let others = (0..values.len()).map(|n| &values[(n + nth + round * 5) % values.len()]);
        let altered = others.filter(|other| *other != was).find_map(|other| {
            let mut altered = record.clone();
            altered[field] = other.clone();
            (may_be(kind, &altered) && wanted(record, &altered)).then_some(altered)
        });
        if let Some(altered) = altered {
            *record = altered;
            taken += 1;
        }
    }
    taken
}

/// What a check says of a snapshot, found anew.
fn found(check: usize, see: &Snapshot) -> Out {
    let mut out = Out::default();
    match CHECKS.get(check) {
        Some(check) => (check.find)(see, &mut out),
        None => needs::ask(see, &mut out),
    }
    out
}

/// What is looked at while the fields of some kinds are edited.
struct Round<'a> {
    demo: &'a Book,
    see: &'a Snapshot,
    fields: &'a BTreeMap<Kind, BTreeMap<String, Vec<Value>>>,
    round: usize,
}

impl Round<'_> {
    /// Edits the fields of a kind, each by itself; of a kind outside the plan, whose fields nobody names, all at once. Gives
    /// the checks that say something else then though nothing that they read was touched, and fields that no record took.
    fn edit(&self, kind: Kind) -> Vec<String> {
        let as_it_is = lists(self.demo);
        let outside = OUTSIDE.contains(&kind);
        let (mut whole, mut faults) = (as_it_is.clone(), Vec::new());
        for (field, samples) in &self.fields[&kind] {
            let mut one = as_it_is.clone();
            let altered = if outside { &mut whole } else { &mut one };
            if alter(altered, (kind, field, samples), self.round, &|_, _| true) == 0 {
                faults.push(format!("{}.{field} is edited nowhere", kind.name()));
            } else if !outside {
                faults.extend(self.wrong(kind, &one, &format!("{}.{field}", kind.name())));
            }
        }
        if outside {
            faults.extend(self.wrong(kind, &whole, kind.name()));
            whole.insert(kind.name().to_owned(), json!([]));
            faults.extend(self.wrong(kind, &whole, kind.name()));
        }
        faults
    }

    fn wrong(&self, kind: Kind, after: &Lists, what: &str) -> Vec<String> {
        let after = with(self.demo, kind, &after[kind.name()]);
        let touched = Touched::between(self.demo, &after);
        assert_ne!(touched, Touched::default(), "{what} touches nothing");
        let see = self.see.next(Arc::new(after));
        let anew = Signals::of(see.book());
        let as_kept = see.signals();
        let other_nets = as_kept.all != anew.all || !as_kept.nets.all().eq(anew.nets.all());
        let wrong = |at: &usize| see.said().kept(*at).is_some_and(|kept| *kept != found(*at, &see));
        let name = |at: usize| CHECKS.get(at).map_or("what many need", |check| check.name);
        // Behind the checks stands what is asked for on behalf of many.
        let wrong = (0..=CHECKS.len()).filter(wrong);
        let told = wrong.map(|at| format!("{} reads {what}", name(at)));
        let nets = other_nets.then(|| format!("nets and signals read {what}"));
        told.chain(nets).collect()
    }
}

#[test]
fn a_check_names_what_it_reads() {
    let demo = demo_and_more();
    let see = Snapshot::of(&demo);
    run_without_mends(&see);
    let fields = fields();
    let next = AtomicUsize::new(0);
    let some = || {
        let mut faults = BTreeSet::new();
        while let Some(kind) = Kind::ALL.get(next.fetch_add(1, Ordering::Relaxed)) {
            for round in 0..ROUNDS {
                let round = Round {
                    demo: &demo,
                    see: &see,
                    fields: &fields,
                    round,
                };
                faults.extend(round.edit(*kind));
            }
        }
        faults
    };
    let faults = thread::scope(|scope| {
        let other = scope.spawn(some);
        let mut faults = some();
        faults.extend(other.join().unwrap());
        faults
    });
    let faults: Vec<String> = faults.into_iter().collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Everything that is kept while an edit touches no figure.
fn figures(see: &Snapshot) -> Vec<(&'static str, String)> {
    let wiring = see.wiring();
    let grounds: BTreeMap<_, _> = wiring.grounds.iter().collect();
    let protection = see.protection();
    let volts: BTreeMap<_, _> = protection.volts.iter().collect();
    let mut all = vec![
        ("wires", format!("{:?} {:?}", wiring.wires, wiring.reference)),
        (
            "contacts",
            format!("{:?} {:?} {:?}", wiring.contacts, wiring.bridges, wiring.paths),
        ),
        (
            "parts",
            format!(
                "{:?} {:?} {:?}",
                wiring.parts, wiring.unplaced_pulls, wiring.crippled_parts
            ),
        ),
        ("grounds", format!("{grounds:?}")),
        ("warmth", format!("{:?}", see.warmth())),
        ("worst", format!("{:?}", see.worst())),
        ("edges", format!("{:?}", see.edges())),
        (
            "zones",
            format!("{:?} {:?}", protection.zones, protection.return_ohm),
        ),
        (
            "feeds",
            format!("{:?} {:?} {volts:?}", protection.wires, protection.behind),
        ),
        ("unsolved", format!("{:?}", see.unsolved())),
    ];
    for of in see.states() {
        let volts: Vec<_> = (0..wiring.nodes.count())
            .map(|node| of.operated.volts(node as u32))
            .collect();
        let parts: Vec<_> = (0..wiring.parts.len())
            .map(|at| {
                (
                    of.operated.part_a(at),
                    of.operated.part_supply_a(at),
                    of.operated.condition(at),
                )
            })
            .collect();
        all.push((
            "state",
            format!(
                "{volts:?} {parts:?} {:?} {:?}",
                of.temperatures, of.operated.trouble
            ),
        ));
        all.push(("fed", format!("{:?}", see.fed(of))));
    }
    all
}

#[test]
fn figures_stay_where_an_edit_is_said_to_leave_them() {
    let demo = demo_and_more();
    let see = Snapshot::of(&demo);
    let was = figures(&see);
    let one = |kind: Kind, record: &Value| {
        let mut lists = Lists::new();
        lists.insert(kind.name().to_owned(), json!([record]));
        book(&lists)
    };
    let mut edited = BTreeSet::new();
    for round in 0..ROUNDS {
        let as_it_is = lists(&demo);
        let mut all = as_it_is.clone();
        for (kind, fields) in &fields() {
            for (field, samples) in fields {
                // Of most fields, all records can be edited or none; of a cavity's some depend on their values.
                let leaves = |was: &Value, is: &Value| {
                    let by_value =
                        *kind == Kind::Cavity && ["decision", "kind", "limits"].contains(&field.as_str());
                    !by_value || !Touched::between(&one(*kind, was), &one(*kind, is)).figures
                };
                let mut alone = as_it_is.clone();
                alter(&mut alone, (*kind, field, samples), round, &leaves);
                if Touched::between(&demo, &with(&demo, *kind, &alone[kind.name()])).figures {
                    continue;
                }
                if alter(&mut all, (*kind, field, samples), round, &leaves) > 0 {
                    edited.insert(format!("{}.{field}", kind.name()));
                }
            }
        }
        let after = Snapshot::new(Arc::new(book(&all)));
        assert!(!Touched::between(&demo, after.book()).figures);
        let is = figures(&after);
        for ((name, was), (_, is)) in was.iter().zip(&is) {
            assert!(was == is, "{name}:\n{was:.2000}\nis not\n{is:.2000}");
        }
        assert_eq!(was.len(), is.len());
    }
    for field in [
        "cavities.decision",
        "cavities.kind",
        "cavities.limits",
        "wires.label",
        "wires.colour",
        "fuses.holder",
    ] {
        assert!(edited.contains(field), "{field} was not edited");
    }
    assert!(!edited.contains("wires.length_m"));
}

/// Keeping is seen to keep: were nothing kept, the test above could not fail.
#[test]
fn a_note_of_wires_keeps_what_most_checks_said() {
    let demo = demo_and_more();
    let see = Snapshot::of(&demo);
    run_without_mends(&see);
    let mut wires = lists(&demo);
    for wire in wires
        .get_mut(Kind::Wire.name())
        .and_then(Value::as_array_mut)
        .unwrap()
    {
        wire["note"] = json!("clip it to the column");
    }
    let see = see.next(Arc::new(with(&demo, Kind::Wire, &wires[Kind::Wire.name()])));
    let kept = (0..CHECKS.len()).filter(|at| see.said().kept(*at).is_some());
    assert!(kept.count() > CHECKS.len() / 2);
}

/// As above, for signals: they are the same ones, not only alike.
#[test]
fn labels_and_decisions_that_join_nothing_keep_the_signals() {
    let demo = demo_and_more();
    let see = Snapshot::of(&demo);
    let signals: *const Signals = see.signals();
    let mut all = lists(&demo);
    for wire in all[Kind::Wire.name()].as_array_mut().unwrap() {
        wire["label"] = json!(format!("{}X", wire["label"].as_str().unwrap()));
    }
    let next = see.next(Arc::new(with(&demo, Kind::Wire, &all[Kind::Wire.name()])));
    assert!(std::ptr::eq(signals, next.signals()));
    let mut joined = lists(&demo);
    for wire in joined[Kind::Wire.name()]
        .as_array_mut()
        .unwrap()
        .iter_mut()
        .take(1)
    {
        wire["to"] = json!("free");
    }
    let next = see.next(Arc::new(with(&demo, Kind::Wire, &joined[Kind::Wire.name()])));
    assert!(!std::ptr::eq(signals, next.signals()));
}
