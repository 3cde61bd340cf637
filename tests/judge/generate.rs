//! Small vocabularies, rules and jobs that mean nothing, written as the YAML that people write.

use crate::worlds::{findings, members};
use std::fmt::Write as _;
use washfast::job::{Amounts, Domain};
use washfast::model::{AttributeType, Mask, Model};
use washfast::quantity::{LEAST, MOST};
use washfast::source::SourceFile;
use washfast::statement::{Stated, Statement};

/// Steps of one per cent here: halves, thirds and eighths of a blend are whole.
const PERCENT: i64 = 12;
const WHOLE: i64 = 100 * PERCENT;

/// A rule base and a job.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub(crate) vocabulary: String,
    pub(crate) entities: Vec<(String, String)>,
    pub(crate) rules: Vec<String>,
    pub(crate) layers: usize,
    pub(crate) said: Vec<Said>,
    /// What is made of the open values of the knowledge.
    pub(crate) found: Vec<usize>,
}

/// A statement by names.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Said {
    pub(crate) attribute: &'static str,
    pub(crate) layer: usize,
    pub(crate) what: What,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum What {
    YesNo(bool),
    OneOf(Vec<String>),
    Between(i64, i64),
    /// Surely and possibly in it.
    Set(Vec<String>, Vec<String>),
    /// The others: nothing of them.
    Amounts(Vec<(String, i64, i64)>),
    /// The others: anything.
    AtLeast(String, i64),
}

pub(crate) const UNITS: &str = "
- dimension: number
  units: [{unit: '', ucum: '1', steps: 1}]
  basis: common practice
- dimension: percent
  below: {value: 0 %, says: a share is not negative}
  units: [{unit: '%', ucum: '%', steps: 12}]
  basis: common practice
";

impl Case {
    /// Its texts; `turned` puts files, and rules in files, in the opposite order and splits them otherwise.
    pub(crate) fn files(&self, turned: bool) -> Vec<SourceFile> {
        let mut files = vec![
            SourceFile::new("knowledge/units.yaml", UNITS),
            SourceFile::new("knowledge/vocabulary.yaml", &self.vocabulary),
        ];
        files.extend(self.entities.iter().map(|(name, text)| SourceFile::new(&format!("knowledge/{name}"), text)));
        if turned {
            for (i, rule) in self.rules.iter().enumerate() {
                files.push(SourceFile::new(&format!("knowledge/rules/z{}.yaml", 99 - i), rule));
            }
            files.reverse();
        } else if !self.rules.is_empty() {
            files.push(SourceFile::new("knowledge/rules/all.yaml", &self.rules.concat()));
        }
        files
    }

    pub(crate) fn stated(&self, model: &Model) -> Stated {
        Stated {
            layers: self.layers,
            statements: self.said.iter().map(|s| s.statement(model)).collect(),
            findings: findings(model, &self.found),
        }
    }
}

impl Said {
    pub(crate) fn statement(&self, model: &Model) -> Statement {
        let attribute = model.attribute(self.attribute).unwrap_or_else(|| panic!("no attribute {}", self.attribute));
        let ty = model.attributes[attribute.index()].ty;
        let kind = match ty {
            AttributeType::Choice(k) | AttributeType::Set(k) | AttributeType::Blend(k) | AttributeType::Amounts(k) => {
                Some(k)
            }
            _ => None,
        };
        let mask = |ids: &[String]| match kind {
            Some(k) => members(model, k, &ids.iter().map(String::as_str).collect::<Vec<_>>()),
            None => Mask::EMPTY,
        };
        let total = matches!(ty, AttributeType::Blend(_)).then_some(WHOLE);
        let count = kind.map_or(0, |k| model.everyone(k).count());
        let domain = match &self.what {
            What::YesNo(b) => Domain::YesNo { yes: *b, no: !*b },
            What::OneOf(ids) => Domain::Choice(mask(ids)),
            What::Between(low, high) => Domain::Number { low: *low, high: *high },
            What::Set(must, may) => Domain::Set { must: mask(must), may: mask(may).or(mask(must)) },
            What::Amounts(list) => {
                let mut ranges = vec![(0, 0); count];
                for (id, low, high) in list {
                    for m in mask(std::slice::from_ref(id)).iter() {
                        ranges[m] = (*low, *high);
                    }
                }
                Domain::Amounts(Amounts { ranges, total, sums: Vec::new() })
            }
            What::AtLeast(id, low) => {
                let sum = (mask(std::slice::from_ref(id)), *low, WHOLE);
                Domain::Amounts(Amounts { ranges: vec![(0, WHOLE); count], total, sums: vec![sum] })
            }
        };
        Statement { attribute, layer: self.layer, domain, words: format!("{self:?}") }
    }
}

/// Decisions drawn from a list of numbers; when it ends, always the first. So a shorter list is a simpler case.
pub(crate) struct Draw<'a> {
    numbers: &'a [u16],
    at: usize,
}

impl<'a> Draw<'a> {
    pub(crate) fn new(numbers: &'a [u16]) -> Self {
        Self { numbers, at: 0 }
    }

    fn below(&mut self, n: usize) -> usize {
        let number = self.numbers.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        usize::from(number) % n
    }

    fn chance(&mut self, percent: usize) -> bool {
        self.below(100) >= 100 - percent
    }

    fn pick<'t, T>(&mut self, list: &'t [T]) -> &'t T {
        &list[self.below(list.len())]
    }
}

/// What a case is to be like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shape {
    /// Many fibres, classes and sums; little else.
    pub(crate) blends: bool,
    /// Assumptions, and nothing that cannot exist.
    pub(crate) assumptions: bool,
}

/// What a condition may name.
#[derive(Debug, Clone, Default)]
struct Scope {
    layers: &'static [&'static str],
    /// Bound names and their kinds.
    bounds: Vec<(&'static str, &'static str)>,
    /// Derived attributes and ends that come earlier.
    nodes: Vec<&'static str>,
}

struct Maker<'a> {
    d: Draw<'a>,
    shape: Shape,
    gears: usize,
    oils: usize,
    /// How many more values may be open.
    open: usize,
    /// How often, in a hundred, something is said in full.
    firm: usize,
    aspects: Vec<(String, Vec<&'static str>)>,
    rules: Vec<String>,
}

pub(crate) fn case(numbers: &[u16], shape: Shape) -> Case {
    let mut d = Draw::new(numbers);
    let gears = if shape.blends { 3 + d.below(2) } else { 2 + usize::from(d.chance(20)) };
    let oils = 2 + usize::from(d.chance(20));
    let firm = [70, 55, 40][d.below(3)];
    let mut maker = Maker { d, shape, gears, oils, open: 3, firm, aspects: Vec::new(), rules: Vec::new() };
    let mut nodes = vec![
        "layer.flag",
        "layer.sum",
        "flag",
        "sum",
        "layer.press.min",
        "layer.press.max",
        "speed.min",
        "speed.max",
        "depth.min",
        "depth.max",
    ];
    for i in 0..nodes.len() {
        let j = i + maker.d.below(nodes.len() - i);
        nodes.swap(i, j);
    }
    let vocabulary = maker.vocabulary();
    let count = 1 + maker.d.below(if shape.blends { 5 } else { 7 });
    for number in 0..count {
        let rule = maker.rule(number, &nodes);
        maker.rules.push(rule);
    }
    let entities = maker.entities();
    let layers = [1, 1, 1, 2, 2, 3][maker.d.below(6)];
    let said = maker.said(layers);
    let found = (0..5).map(|_| maker.d.below(60)).collect();
    Case { vocabulary, entities, rules: maker.rules, layers, said, found }
}

impl Maker<'_> {
    fn vocabulary(&mut self) -> String {
        let combine = |d: &mut Draw<'_>| *d.pick(&["max", "min", "sum"]);
        let (sum, layer_sum) = (combine(&mut self.d), combine(&mut self.d));
        let (otherwise, layer_otherwise) = (self.d.below(7), self.d.below(7));
        let all = Scope::default();
        let assume = |d: &mut Self, values: &[&str]| -> String {
            if !d.shape.assumptions || d.d.chance(40) {
                return String::new();
            }
            let mut text = ", assume: [".to_owned();
            for _ in 0..1 + d.d.below(2) {
                let value = d.d.pick(values).to_string();
                let guard = match d.d.below(4) {
                    0 => String::new(),
                    1 => ", when: wet".to_owned(),
                    2 => format!(", when: shade is {}", d.shade()),
                    _ => format!(", when: not oil is {}", d.oil()),
                };
                let _ = write!(text, "{{value: {value}, words: w{guard}}}, ");
            }
            text + "]"
        };
        let wet = assume(self, &["yes", "no"]);
        let shade = assume(self, &["s0", "s1", "s2"]);
        let oil = assume(self, &["o0", "o1"]);
        let marks = assume(self, &["[]", "[s0]", "[s1, s2]"]);
        let heat = assume(self, &["1", "3", "5"]);
        let tools = assume(self, &["all", "[t0]", "[]"]);
        let usual = if self.d.chance(50) { ", usual: [s2, s1]" } else { "" };
        let usual_wet = if self.d.chance(50) { ", usual: yes" } else { "" };
        let usual_heat = if self.d.chance(50) { ", usual: 4" } else { "" };
        let mut text = format!(
            "kinds:
  - {{kind: gear, folder: gears, says: x}}
  - {{kind: oil, folder: oils, says: x}}
  - {{kind: grit, folder: grits, says: x}}
  - {{kind: shade, values: [s0, s1, s2], says: x}}
properties:
  - {{property: hard, of: gear, type: number, says: x}}
  - {{property: bright, of: gear, type: yes/no, says: x}}
  - {{property: tint, of: gear, type: choice of shade, says: x}}
  - {{property: fits, of: gear, type: set of shade, says: x}}
  - {{property: span, of: gear, type: window number, required: yes, says: x}}
  - {{property: need, of: gear, type: schedule number to number, required: yes, says: x}}
  - {{property: warm, of: oil, type: number, says: x}}
  - {{property: clear, of: oil, type: yes/no, says: x}}
  - {{property: tint, of: oil, type: choice of shade, says: x}}
  - {{property: suits, of: oil, type: set of shade, says: x}}
  - {{property: need, of: oil, type: schedule number to number, required: yes, says: x}}
  - {{property: span, of: oil, type: window number, required: yes, says: x}}
  - {{property: lift, of: grit, type: number, says: x}}
  - {{property: fine, of: grit, type: yes/no, says: x}}
  - {{property: goes, of: grit, type: set of oil, says: x}}
attributes:
  - {{attribute: mix, type: blend of gear, role: given, says: x}}
  - {{attribute: shade, type: choice of shade, role: given, says: x{usual}{shade}}}
  - {{attribute: wet, type: yes/no, role: given, says: x{usual_wet}{wet}}}
  - {{attribute: oil, type: choice of oil, role: given, says: x{oil}}}
  - {{attribute: tool, type: choice of grit, role: given, says: x}}
  - {{attribute: warmth, type: number, role: given, follows: oil.warm, says: x}}
  - {{attribute: heat, type: number, role: given, says: x{usual_heat}{heat}}}
  - {{attribute: marks, type: set of shade, role: given, says: x{marks}}}
  - {{attribute: tools, type: set of grit, role: capability, says: x{tools}}}
  - {{attribute: extras, type: set of grit, role: chosen, material: yes, says: x}}
  - {{attribute: layer.oil, per: layer, type: choice of oil, role: chosen, material: yes, says: x}}
  - {{attribute: layer.shade, per: layer, type: choice of shade, role: given, says: x}}
  - {{attribute: layer.grit, per: layer, type: amounts of grit, role: chosen, material: yes, says: x}}
  - {{attribute: layer.press, per: layer, type: setting number, role: chosen, says: x}}
  - {{attribute: layer.sum, per: layer, type: number, role: derived, combine: {layer_sum}, otherwise: {layer_otherwise}, says: x}}
  - {{attribute: layer.flag, per: layer, type: yes/no, role: derived, combine: any, says: x}}
  - {{attribute: sum, type: number, role: derived, combine: {sum}, otherwise: {otherwise}, says: x}}
  - {{attribute: flag, type: yes/no, role: derived, combine: any, says: x}}
  - {{attribute: speed, type: setting number, role: chosen, says: x}}
  - {{attribute: depth, type: setting number, role: chosen, says: x}}
aspects:
"
        );
        for name in ["fit", "hold"].into_iter().take(self.d.below(3)) {
            let scope: Vec<&'static str> = match self.d.below(5) {
                0 => vec![],
                1 => vec!["each gear in mix"],
                2 => vec!["each layer"],
                3 => vec!["each gear in mix", "each layer"],
                _ => vec!["each pair of layers"],
            };
            let _ = write!(text, "  - {{aspect: {name}, says: x, trial: x, for: [{}]", scope.join(", "));
            if self.d.chance(50) {
                let own = Self::scope(&scope, &[]);
                let when = self.condition(&own, 1);
                let _ = write!(text, ", when: \"{when}\"");
            }
            text.push_str("}\n");
            self.aspects.push((name.to_owned(), scope));
        }
        let _ = all;
        text
    }

    fn scope(entries: &[&'static str], nodes: &[&'static str]) -> Scope {
        let mut scope = Scope { nodes: nodes.to_vec(), ..Scope::default() };
        for entry in entries {
            match *entry {
                "each layer" => scope.layers = &["layer"],
                "each pair of layers" => scope.layers = &["upper", "lower"],
                "each gear in mix" => scope.bounds.push(("gear", "gear")),
                "each grit in layer.grit" => scope.bounds.push(("grit", "grit")),
                "each bit in tools" => scope.bounds.push(("bit", "grit")),
                other => panic!("{other}"),
            }
        }
        scope
    }

    fn rule(&mut self, number: usize, nodes: &[&'static str]) -> String {
        let effects: &[&str] = match (self.aspects.is_empty(), self.shape.assumptions) {
            (true, false) => &[
                "refuse", "bound", "derive", "require", "exclude", "note", "refuse", "bound", "derive", "refuse",
                "bound",
            ],
            (true, true) => &["refuse", "bound", "derive", "require"],
            (false, true) => &["refuse", "support", "bound", "require", "support"],
            (false, false) => &[
                "refuse", "support", "bound", "derive", "require", "exclude", "note", "support", "bound", "derive",
                "support", "refuse", "support",
            ],
        };
        let effect = *self.d.pick(effects);
        let scopes: [&[&'static str]; 9] = [
            &[],
            &["each gear in mix"],
            &["each layer"],
            &["each pair of layers"],
            &["each layer", "each grit in layer.grit"],
            &["each bit in tools"],
            &["each gear in mix", "each layer"],
            &[],
            &["each gear in mix"],
        ];
        let mut entries: Vec<&'static str> = self.d.pick(&scopes).to_vec();
        let mut target = 0;
        let mut about = String::new();
        match effect {
            "bound" | "derive" => {
                let wanted = |n: &str| n.ends_with(".min") || n.ends_with(".max");
                let fitting: Vec<usize> =
                    (0..nodes.len()).filter(|i| wanted(nodes[*i]) == (effect == "bound")).collect();
                target = *self.d.pick(&fitting);
                if nodes[target].starts_with("layer.") && !entries.contains(&"each layer") {
                    entries = vec!["each layer"];
                }
            }
            "support" => {
                let (name, scope) = self.d.pick(&self.aspects).clone();
                entries = scope.into_iter().filter(|_| !self.d.chance(25)).collect();
                about = name;
            }
            _ => {}
        }
        let earlier = if target > 0 || matches!(effect, "bound" | "derive") { &nodes[..target] } else { nodes };
        let scope = Self::scope(&entries, earlier);
        let mut text = format!("- rule: r{number}\n  says: x\n  for: [{}]\n", entries.join(", "));
        if !self.d.chance(15) {
            let depth = self.d.below(3);
            let _ = writeln!(text, "  when: \"{}\"", self.condition(&scope, depth));
        }
        if self.d.chance(25) {
            let _ = writeln!(text, "  unless: \"{}\"", self.condition(&scope, 1));
        }
        match effect {
            "bound" => {
                let (setting, end) = nodes[target].rsplit_once('.').unwrap();
                let side = if end == "min" { "at_least" } else { "at_most" };
                let value = self.value(&scope);
                let _ = writeln!(text, "  bound: {setting}\n  {side}: \"{value}\"\n  because: b");
            }
            "derive" => {
                let _ = writeln!(text, "  derive: {}", nodes[target]);
                if nodes[target].ends_with("sum") {
                    let _ = writeln!(text, "  as: \"{}\"", self.value(&scope));
                }
            }
            "support" => {
                let _ = writeln!(text, "  support: {about}\n  because: b");
            }
            "note" => text.push_str("  note: n\n  about: quality\n"),
            _ => {
                let _ = writeln!(text, "  {effect}: e");
            }
        }
        text + "  basis: common practice\n"
    }

    /// What a rule bounds or derives: an end that may be unlimited is no bound.
    fn value(&mut self, scope: &Scope) -> String {
        let finite =
            Scope { nodes: scope.nodes.iter().copied().filter(|n| !n.contains(".m")).collect(), ..scope.clone() };
        match self.d.below(5) {
            4 if scope.nodes.iter().any(|n| n.contains(".m")) => {
                // With a limit on both sides it is one.
                let ends: Vec<&str> = scope.nodes.iter().copied().filter(|n| n.contains(".m")).collect();
                let ends: Vec<&str> =
                    ends.into_iter().filter(|n| !n.starts_with("layer.") || scope.layers == ["layer"]).collect();
                match ends.as_slice() {
                    [] => self.number(&finite, 1),
                    ends => format!("max(-2, min(9, {}))", ends[self.d.below(ends.len())]),
                }
            }
            _ => self.number(&finite, 1),
        }
    }

    fn shade(&mut self) -> &'static str {
        *self.d.pick(&["s0", "s1", "s2"])
    }

    fn oil(&mut self) -> String {
        format!("o{}", self.d.below(self.oils))
    }

    fn gear(&mut self) -> String {
        match self.d.below(if self.shape.blends { 6 } else { 8 }) {
            4 => "gc0".to_owned(),
            5 => "gc1".to_owned(),
            n => format!("g{}", n % self.gears),
        }
    }

    fn percent(&mut self) -> usize {
        if self.gears < 3 { *self.d.pick(&[25, 0, 50, 75, 100]) } else { *self.d.pick(&[50, 0, 100, 50]) }
    }

    fn order(&mut self) -> &'static str {
        *self.d.pick(&[">", "<", ">=", "<=", "=", "!="])
    }

    fn condition(&mut self, scope: &Scope, depth: usize) -> String {
        if depth == 0 {
            return self.atom(scope);
        }
        let parts = [self.condition(scope, depth - 1), self.condition(scope, depth - 1)];
        match self.d.below(4) {
            0 => parts.into_iter().next().unwrap(),
            1 => format!("({} and {})", parts[0], parts[1]),
            2 => format!("({} or {})", parts[0], parts[1]),
            _ => format!("not ({})", parts[0]),
        }
    }

    fn atom(&mut self, scope: &Scope) -> String {
        if self.shape.blends && self.d.chance(70) {
            return match self.d.below(3) {
                0 => format!("share of {} in mix {} {} %", self.gear(), self.order(), self.percent()),
                1 => format!("mix has {}", self.gear()),
                _ => format!("mix lacks {}", self.gear()),
            };
        }
        if !scope.bounds.is_empty() && self.d.chance(60) {
            let (name, kind) = *self.d.pick(&scope.bounds);
            return self.about(name, kind, scope);
        }
        if !scope.layers.is_empty() && self.d.chance(60) {
            let layer = *self.d.pick(scope.layers);
            return self.layer_atom(layer, scope);
        }
        match self.d.below(20) {
            0 => "wet".to_owned(),
            1 => "oil.clear".to_owned(),
            2 => format!("shade is {}", self.shade()),
            3 => format!("mix has {}", self.gear()),
            4 => format!("share of {} in mix {} {} %", self.gear(), self.order(), self.percent()),
            5 | 6 => self.comparison(scope),
            7 => format!("marks {} {}", self.d.pick(&["has", "lacks"]), self.shade()),
            8 => format!("shade is {}in marks", self.d.pick(&["", "not "])),
            9 if scope.nodes.contains(&"flag") => "flag".to_owned(),
            10 => format!("oil is {}", self.oil()),
            11 => "oil is a oily".to_owned(),
            12 => format!("oil.tint is {}{}", self.d.pick(&["", "not "]), self.shade()),
            13 => format!("{} has t{}", self.d.pick(&["tools", "extras"]), self.d.below(2)),
            14 => {
                let inner = self.about("other", "gear", scope);
                format!("some other in mix where ({inner})")
            }
            15 => {
                let inner = self.about("other", "grit", scope);
                format!("some other in {} where ({inner})", self.d.pick(&["tools", "extras"]))
            }
            16 => "shade is in oil.suits".to_owned(),
            18 => format!("tool is {}in {}", self.d.pick(&["", "not "]), self.d.pick(&["tools", "extras"])),
            19 => {
                let spoken = *self.d.pick(&["extras", "speed"]);
                format!("stated {spoken}")
            }
            17 => format!("oil.suits has {}", self.shade()),
            _ => self.comparison(scope),
        }
    }

    fn about(&mut self, name: &str, kind: &str, scope: &Scope) -> String {
        match (kind, self.d.below(8)) {
            ("gear", 0) => format!("{name}.bright"),
            ("gear", 1) => format!("{name} is g{}", self.d.below(self.gears)),
            ("gear", 2) => format!("share of {name} in mix {} {} %", self.order(), self.percent()),
            ("gear", 3) => format!("{name}.tint is {}", self.shade()),
            ("gear", 4) => format!("shade is in {name}.fits"),
            ("gear", 5) => {
                format!("{name}.span.{} {} {}", self.d.pick(&["min", "max"]), self.order(), self.plain(scope))
            }
            ("gear", 6) => {
                format!("{name}.need at {} {} {}", self.d.pick(&["2", "heat", "5"]), self.order(), self.d.below(7))
            }
            ("gear", _) => format!("{name}.hard {} {}", self.order(), self.plain(scope)),
            (_, 0) => format!("{name}.fine"),
            (_, 1) => format!("{name}.goes has {}", self.oil()),
            (_, 2) => format!("oil is in {name}.goes"),
            (_, 3) => format!("{name} is t{}", self.d.below(2)),
            (_, 4) if name == "grit" => format!("dose of grit in layer.grit {} 25 %", self.order()),
            _ => format!("{name}.lift {} {}", self.order(), self.plain(scope)),
        }
    }

    fn layer_atom(&mut self, layer: &str, scope: &Scope) -> String {
        match self.d.below(11) {
            0 => format!("{layer}.oil.clear"),
            1 => format!("{layer}.oil is {}", self.oil()),
            2 => format!("{layer}.is_{}", self.d.pick(&["first", "last"])),
            3 => format!("{layer}.shade is {}", self.shade()),
            4 => format!("{layer}.grit has t{}", self.d.below(2)),
            5 => format!("dose of t{} in {layer}.grit {} 25 %", self.d.below(2), self.order()),
            6 if scope.nodes.contains(&"layer.flag") => format!("{layer}.flag"),
            7 if scope.nodes.contains(&"layer.sum") => format!("{layer}.sum {} {}", self.order(), self.plain(scope)),
            8 => match self.d.below(3) {
                0 => format!("{layer}.shade is in {layer}.oil.suits"),
                1 => format!("tool is in {layer}.grit"),
                _ => format!("stated {layer}.{}", self.d.pick(&["grit", "press"])),
            },
            _ => format!("{layer}.oil.warm {} {}", self.order(), self.plain(scope)),
        }
    }

    fn comparison(&mut self, scope: &Scope) -> String {
        format!("{} {} {}", self.number(scope, 1), self.order(), self.plain(scope))
    }

    /// Mostly a constant.
    fn plain(&mut self, scope: &Scope) -> String {
        if self.d.chance(30) { self.number(scope, 1) } else { self.d.below(7).to_string() }
    }

    fn number(&mut self, scope: &Scope, depth: usize) -> String {
        let ends: Vec<&'static str> = scope.nodes.iter().copied().filter(|n| n.contains(".m")).collect();
        match self.d.below(12) {
            0 | 1 => self.d.below(7).to_string(),
            2 => "heat".to_owned(),
            3 => "oil.warm".to_owned(),
            4 if scope.nodes.contains(&"sum") => "sum".to_owned(),
            5 if !ends.is_empty() => {
                let end = *self.d.pick(&ends);
                match (end.strip_prefix("layer."), scope.layers) {
                    (None, _) => end.to_owned(),
                    (Some(_), []) => "4".to_owned(),
                    (Some(rest), layers) => format!("{}.{rest}", self.d.pick(layers)),
                }
            }
            6 if !scope.bounds.is_empty() => match *self.d.pick(&scope.bounds) {
                (name, "gear") => format!("{name}.{}", self.d.pick(&["hard", "span.min", "span.max", "need at 3"])),
                (name, _) => format!("{name}.lift"),
            },
            7 if !scope.layers.is_empty() => {
                let layer = *self.d.pick(scope.layers);
                match scope.nodes.contains(&"layer.sum") && self.d.chance(50) {
                    true => format!("{layer}.sum"),
                    false => format!("{layer}.oil.warm"),
                }
            }
            8 => format!("oil.need at {}", self.d.pick(&["1", "3", "heat", "oil.warm"])),
            9 if depth > 0 => {
                let sign = *self.d.pick(&["+", "-"]);
                format!("{} {sign} {}", self.number(scope, 0), 1 + self.d.below(2))
            }
            10 if depth > 0 => {
                format!("{}({}, {})", self.d.pick(&["min", "max"]), self.number(scope, 0), self.number(scope, 0))
            }
            11 => (*self.d.pick(&["warmth", "2 * heat", "oil.span.min", "oil.span.max"])).to_owned(),
            _ => self.d.below(7).to_string(),
        }
    }

    fn entities(&mut self) -> Vec<(String, String)> {
        let mut files = Vec::new();
        let head = |id: &str| format!("id: {id}\nname: {id}\nbasis: common practice\n");
        for i in 0..self.gears {
            let mut text = head(&format!("g{i}"));
            let classes: &[&str] = match i {
                0 => &["gc0"],
                1 => &["gc0", "gc1"],
                _ => &["gc1"],
            };
            let _ = write!(text, "is: [{}]\nproperties:\n", classes.join(", "));
            let kinds = ["hard", "bright", "tint", "fits", "span", "need"];
            kinds.iter().for_each(|k| text.push_str(&self.property(k)));
            files.push((format!("gears/g{i}.yaml"), text));
        }
        for class in ["gc0", "gc1"] {
            files.push((format!("gears/{class}.yaml"), head(class) + "class: yes\n"));
        }
        for i in 0..self.oils {
            let mut text = head(&format!("o{i}"));
            let _ = write!(text, "is: [{}]\nproperties:\n", if i == 0 { "" } else { "oily" });
            let kinds = ["warm", "clear", "tint", "suits", "need", "span"];
            kinds.iter().for_each(|k| text.push_str(&self.property(k)));
            files.push((format!("oils/o{i}.yaml"), text));
        }
        files.push(("oils/oily.yaml".to_owned(), head("oily") + "class: yes\n"));
        for i in 0..2 {
            let mut text = head(&format!("t{i}")) + "properties:\n";
            ["lift", "fine", "goes"].iter().for_each(|k| text.push_str(&self.property(k)));
            files.push((format!("grits/t{i}.yaml"), text));
        }
        files
    }

    fn property(&mut self, name: &str) -> String {
        // Open values cost complete jobs: only of properties that a rule names.
        let named = self.rules.iter().any(|r| r.contains(&format!(".{name}")));
        // Windows and schedules are always known.
        let open = named && !["span", "need"].contains(&name) && self.open > 0 && self.d.chance(22);
        self.open -= usize::from(open);
        let low = self.d.below(7);
        let value = if open {
            match (name, self.d.below(4)) {
                ("hard" | "warm" | "lift", 0 | 1) => format!("varies: {low} to {}", low + 1 + self.d.below(3)),
                (_, 2) => return String::new(),
                _ => "unknown: yes".to_owned(),
            }
        } else if self.d.chance(10) {
            "none: yes".to_owned()
        } else {
            match name {
                "hard" | "warm" | "lift" => match self.d.chance(12) {
                    true => format!("disputed: {low} to {}, plan: {}", low + 2, low + 1),
                    false => format!("value: {low}"),
                },
                "bright" | "clear" | "fine" => format!("value: {}", self.d.pick(&["yes", "no"])),
                "tint" => format!("value: {}", self.shade()),
                "fits" | "suits" => {
                    format!("value: {}", self.d.pick(&["[s0]", "[s1]", "[s0, s1]", "[]", "[s0, s1, s2]"]))
                }
                "goes" => format!("value: {}", self.d.pick(&["[o0]", "[oily]", "[]", "[o0, o1]"])),
                "span" => match self.d.chance(30) {
                    true => format!("value: {low}"),
                    false => format!("choose: {low} to {}", low + self.d.below(4)),
                },
                _ => match self.d.below(3) {
                    0 => format!("schedule: [1 for {}, 4 for {}]", low + 2, low),
                    1 => format!("schedule: [3 for {low}]"),
                    _ => format!("schedule: [0 for {}, 2 for {}, 5 for {low}]", low + 3, low + 1),
                },
            }
        };
        format!("  {name}: {{{value}, basis: from memory}}\n")
    }

    fn said(&mut self, layers: usize) -> Vec<Said> {
        let mut said = Vec::new();
        // What is open is open for the rest of this job too; a second statement may contradict the first.
        for attribute in
            ["mix", "shade", "wet", "oil", "heat", "marks", "tools", "tool", "extras", "speed", "depth", "warmth"]
        {
            let times = if self.d.chance(3) { 2 } else { 1 };
            for _ in 0..times {
                said.extend(self.statement(attribute).map(|what| Said { attribute, layer: 0, what }));
            }
        }
        for layer in 0..layers {
            for attribute in ["layer.oil", "layer.shade", "layer.grit", "layer.press"] {
                said.extend(self.statement(attribute).map(|what| Said { attribute, layer, what }));
            }
        }
        said
    }

    fn statement(&mut self, attribute: &str) -> Option<What> {
        let how = self.d.below(100);
        let (full, part) = (how < self.firm, how < self.firm + 20);
        let names = |d: &mut Draw<'_>, list: &[&str]| -> Vec<String> {
            list.iter().filter(|_| d.chance(50)).map(|s| (*s).to_owned()).collect()
        };
        let low = self.d.below(7) as i64;
        match attribute {
            "mix" => {
                let parts = if self.gears < 3 { [2, 4, 6, 8] } else { [2, 3, 4, 6] };
                let unit = WHOLE / if self.gears < 3 { 8 } else { 6 };
                let first = unit * self.d.pick(&parts);
                let other = format!("g{}", 1 + self.d.below(self.gears - 1));
                if full {
                    Some(What::Amounts(vec![("g0".into(), first, first), (other, WHOLE - first, WHOLE - first)]))
                } else if part && self.d.chance(50) {
                    Some(What::Amounts(vec![("g0".into(), 0, first), (other, 0, WHOLE)]))
                } else if part {
                    Some(What::AtLeast(self.gear(), first))
                } else {
                    None
                }
            }
            "shade" | "layer.shade" => {
                if full {
                    Some(What::OneOf(vec![self.shade().to_owned()]))
                } else {
                    part.then(|| What::OneOf(vec!["s0".into(), "s2".into()]))
                }
            }
            "oil" | "layer.oil" => (full || (part && attribute == "layer.oil")).then(|| What::OneOf(vec![self.oil()])),
            "tool" => full.then(|| What::OneOf(vec![format!("t{}", self.d.below(2))])),
            "wet" => full.then(|| What::YesNo(self.d.chance(50))),
            "heat" => {
                if full {
                    Some(What::Between(low, low))
                } else {
                    // Seldom without any limit: then only some of its values can be tried.
                    (part || self.d.chance(60)).then(|| What::Between(low - 1, low + 1 + self.d.below(3) as i64))
                }
            }
            "warmth" => (how < 5).then_some(What::Between(low, low)),
            "marks" => {
                let shades = ["s0", "s1", "s2"];
                if full {
                    let must = names(&mut self.d, &shades);
                    Some(What::Set(must, Vec::new()))
                } else {
                    part.then(|| What::Set(names(&mut self.d, &shades), names(&mut self.d, &shades)))
                }
            }
            "tools" => {
                if full {
                    let must = names(&mut self.d, &["t0", "t1"]);
                    Some(What::Set(must, Vec::new()))
                } else {
                    part.then(|| What::Set(names(&mut self.d, &["t0"]), names(&mut self.d, &["t1"])))
                }
            }
            "extras" => (how < 40).then(|| What::Set(names(&mut self.d, &["t0", "t1"]), Vec::new())),
            "layer.grit" => {
                if how < 50 {
                    return None;
                }
                let first = *self.d.pick(&[300, 0, 1, 301, 600]);
                let second = if self.d.chance(20) { (0, 450) } else { (0, 0) };
                Some(What::Amounts(vec![("t0".into(), first, first), ("t1".into(), second.0, second.1)]))
            }
            _ => match how {
                0..50 => None,
                50..80 => Some(What::Between(low, low)),
                80..90 => Some(What::Between(low, low + 2)),
                90..95 => Some(What::Between(LEAST, low)),
                _ => Some(What::Between(low, MOST)),
            },
        }
    }
}
