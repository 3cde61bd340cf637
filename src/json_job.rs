//! The JSON job: one order line as other programs send it.
//!
//! Keys are those of the vocabulary (`json:`), so that a new attribute needs no change here. A key that is absent or
//! null was not said, `[]` means none, `"unknown"` means asked and not known. Unknown keys and names are errors.

use crate::contract::{Detail, FOUND, SCHEMA};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, Mask, Model};
use crate::names::Names;
use crate::question::parse::{MAX_LENGTH, parse_phrase};
use crate::question::{resolve_coat, resolve_composition};
use crate::resolve::{MAX_LAYERS, Mistake, Resolver, Share};
use crate::statement::Stated;
use serde::Serialize;
use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::Value;

/// One print of a job.
#[derive(Debug, Clone)]
pub struct Print {
    /// Where it sits, as the caller calls it.
    pub position: Option<String>,
    /// What was said.
    pub stated: Stated,
}

/// A job as read.
#[derive(Debug, Clone)]
pub struct Job {
    /// The caller's id.
    pub id: Option<Value>,
    /// Whatever the caller wants back.
    pub ext: Option<Value>,
    /// How much to tell.
    pub detail: Detail,
    /// The prints; one where the short form was used.
    pub prints: Vec<Print>,
}

/// What is wrong at one place of a JSON job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobError {
    /// Stable code.
    pub code: &'static str,
    /// JSON pointer to the place.
    pub pointer: String,
    /// What is wrong.
    pub message: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// Known names near to it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub nearest: Vec<String>,
    /// All that is allowed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub allowed: Vec<String>,
}

/// Reads a text as JSON in which no key is written twice: whichever of two values were taken, the other would be lost
/// silently. A byte order mark at the start is no part of the text.
///
/// # Errors
/// Text that is no JSON, or every key that is written again, with its pointer and the value as far as it was read.
pub fn parse(text: &str) -> Result<Value, (Value, Vec<JobError>)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut again = Vec::new();
    let mut reader = serde_json::Deserializer::from_str(text);
    let read = Distinct { pointer: String::new(), again: &mut again }.deserialize(&mut reader);
    let error = |code, pointer, message, help: &str| JobError {
        code,
        pointer,
        message,
        help: Some(help.to_owned()),
        nearest: Vec::new(),
        allowed: Vec::new(),
    };
    match read.and_then(|value| reader.end().map(|()| value)) {
        Err(e) => {
            let message = format!("not readable as JSON: {e}");
            Err((Value::Null, vec![error("json::syntax", String::new(), message, "send one JSON object a line")]))
        }
        Ok(value) if again.is_empty() => Ok(value),
        Ok(value) => {
            let errors = again
                .into_iter()
                .map(|(pointer, key)| {
                    let message = format!("the key `{key}` is written twice");
                    error("json::duplicate-key", pointer, message, "write each key once")
                })
                .collect();
            Err((value, errors))
        }
    }
}

/// Reads a value and notes keys that are written again, with their pointers. Of two values the first is kept.
struct Distinct<'a> {
    pointer: String,
    again: &'a mut Vec<(String, String)>,
}

impl<'de> DeserializeSeed<'de> for Distinct<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Distinct<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        loop {
            let pointer = format!("{}/{}", self.pointer, list.len());
            match items.next_element_seed(Distinct { pointer, again: &mut *self.again })? {
                Some(item) => list.push(item),
                None => return Ok(Value::Array(list)),
            }
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut pairs: A) -> Result<Value, A::Error> {
        let mut object = Object::new();
        while let Some(key) = pairs.next_key::<String>()? {
            let pointer = format!("{}/{}", self.pointer, escape(&key));
            let value = pairs.next_value_seed(Distinct { pointer: pointer.clone(), again: &mut *self.again })?;
            if object.contains_key(&key) {
                self.again.push((pointer, key));
            } else {
                object.insert(key, value);
            }
        }
        Ok(Value::Object(object))
    }
}

/// Reads a job.
///
/// # Errors
/// Everything that is wrong with it, each with its pointer.
pub fn read(value: &Value, model: &Model, names: &Names) -> Result<Job, Vec<JobError>> {
    let mut r = JsonReader { model, names, errors: Vec::new() };
    let Some(object) = value.as_object() else {
        r.fail("", Mistake::new("json::wrong-type", "a job is a JSON object"));
        return Err(r.errors);
    };
    for (key, value) in object.iter().filter(|e| !["id", "ext"].contains(&e.0.as_str())) {
        r.lengths("", key, value);
    }
    if !r.errors.is_empty() {
        return Err(r.errors);
    }
    match object.get("schema") {
        None => {}
        Some(v) if v.as_i64() == Some(SCHEMA) => {}
        Some(_) => r.fail(
            "/schema",
            Mistake::new("json::schema", "this schema is not known").help(format!("send \"schema\":{SCHEMA}")),
        ),
    }
    let detail = match object.get("detail").map(|d| d.as_str()) {
        None | Some(Some("full")) => Detail::Full,
        Some(Some("short")) => Detail::Short,
        Some(Some("verdict")) => Detail::Verdict,
        Some(_) => {
            let mut m = Mistake::new("json::wrong-value", "unknown detail");
            m.allowed = ["verdict", "short", "full"].map(str::to_owned).to_vec();
            r.fail("/detail", m);
            Detail::Full
        }
    };
    let prints = match object.get("prints").filter(|p| !p.is_null()) {
        None => r.short_form(object).into_iter().collect(),
        Some(list) => r.long_form(object, list),
    };
    if r.errors.is_empty() {
        Ok(Job { id: object.get("id").cloned(), ext: object.get("ext").cloned(), detail, prints })
    } else {
        Err(r.errors)
    }
}

type Object = serde_json::Map<String, Value>;

const GENERAL: [&str; 4] = ["schema", "id", "ext", "detail"];
const SHORTHAND: [&str; 3] = ["under", "ink", "prints"];

struct JsonReader<'a> {
    model: &'a Model,
    names: &'a Names,
    errors: Vec<JobError>,
}

impl<'a> JsonReader<'a> {
    fn fail(&mut self, pointer: &str, mistake: Mistake) {
        self.errors.push(JobError {
            code: mistake.code,
            pointer: pointer.to_owned(),
            message: mistake.message,
            help: mistake.help,
            nearest: mistake.nearest,
            allowed: mistake.allowed,
        });
    }

    /// Refuses texts that are too long to be meant, before anything is looked up.
    fn lengths(&mut self, holder: &str, key: &str, value: &Value) {
        let long = || Mistake::new("json::too-long", format!("a text here is longer than {MAX_LENGTH} bytes"));
        if key.len() > MAX_LENGTH {
            return self.fail(holder, long());
        }
        let pointer = format!("{holder}/{}", escape(key));
        match value {
            Value::String(text) if text.len() > MAX_LENGTH => self.fail(&pointer, long()),
            Value::Array(items) => {
                items.iter().enumerate().for_each(|(i, item)| self.lengths(&pointer, &i.to_string(), item));
            }
            Value::Object(object) => object.iter().for_each(|(key, value)| self.lengths(&pointer, key, value)),
            _ => {}
        }
    }

    /// Whether a print may have so many layers; too many are reported.
    fn stations(&mut self, layers: usize, pointer: &str) -> bool {
        if layers > MAX_LAYERS {
            let m = Mistake::new("json::too-many", format!("{layers} layers are too many"));
            self.fail(pointer, m.help(format!("a print has at most {MAX_LAYERS} layers")));
        }
        layers <= MAX_LAYERS
    }

    /// One print, written into the job itself.
    fn short_form(&mut self, object: &Object) -> Option<Print> {
        let under: Vec<(String, String)> = match object.get("under").filter(|u| !u.is_null()) {
            None => Vec::new(),
            Some(Value::Array(items)) => items
                .iter()
                .enumerate()
                .filter_map(|(i, v)| match v.as_str() {
                    Some(s) => Some((s.to_owned(), format!("/under/{i}"))),
                    None => {
                        self.fail(&format!("/under/{i}"), Mistake::new("json::wrong-type", "an ink is a text"));
                        None
                    }
                })
                .collect(),
            Some(_) => {
                self.fail("/under", Mistake::new("json::wrong-type", "`under` is a list of inks, bottom first"));
                Vec::new()
            }
        };
        let layers = under.len() + 1;
        if !self.stations(layers, "/under") {
            return None;
        }
        let mut resolver = Resolver::new(self.model, self.names, layers);
        for (layer, (ink, pointer)) in under.iter().enumerate() {
            if let Some((id, _)) = self.attribute_of("ink") {
                self.text(&mut resolver, id, layer, ink, pointer);
            }
        }
        if object.get("ink").is_none_or(Value::is_null) {
            self.fail("/ink", Mistake::new("json::missing-key", "no ink is given").help("add \"ink\": or \"prints\":"));
        }
        for (key, value) in object {
            if GENERAL.contains(&key.as_str()) || key == "under" || value.is_null() {
                continue;
            }
            self.key(&mut resolver, layers - 1, key, value, &format!("/{}", escape(key)));
        }
        Some(Print { position: None, stated: resolver.stated })
    }

    /// Several prints.
    fn long_form(&mut self, object: &Object, list: &Value) -> Vec<Print> {
        let mut shared = Resolver::new(self.model, self.names, 1);
        for (key, value) in object {
            if GENERAL.contains(&key.as_str()) || key == "prints" || value.is_null() {
                continue;
            }
            let per_layer = self.attribute_of(key).is_some_and(|(_, a)| a.per_layer);
            if per_layer || SHORTHAND.contains(&key.as_str()) {
                let m = Mistake::new("json::shorthand-with-prints", format!("`{key}` is shorthand for one print"))
                    .help("move it into the layers of a print");
                self.fail(&format!("/{}", escape(key)), m);
                continue;
            }
            self.key(&mut shared, 0, key, value, &format!("/{}", escape(key)));
        }
        let Some(items) = list.as_array().filter(|l| !l.is_empty()) else {
            self.fail("/prints", Mistake::new("json::wrong-type", "`prints` is a list of at least one print"));
            return Vec::new();
        };
        items.iter().enumerate().filter_map(|(i, p)| self.print(&shared, p, &format!("/prints/{i}"))).collect()
    }

    fn print(&mut self, shared: &Resolver<'a>, value: &Value, pointer: &str) -> Option<Print> {
        let Some(object) = value.as_object() else {
            self.fail(pointer, Mistake::new("json::wrong-type", "a print is a JSON object"));
            return None;
        };
        let Some(layers) = object.get("layers").and_then(Value::as_array).filter(|l| !l.is_empty()) else {
            let m = Mistake::new("json::missing-key", "a print needs its layers")
                .help("add \"layers\": [{\"ink\": …}], bottom first");
            self.fail(&format!("{pointer}/layers"), m);
            return None;
        };
        if !self.stations(layers.len(), &format!("{pointer}/layers")) {
            return None;
        }
        let mut resolver = shared.clone();
        resolver.stated.layers = layers.len();
        for (layer, value) in layers.iter().enumerate() {
            let at = format!("{pointer}/layers/{layer}");
            let Some(object) = value.as_object() else {
                self.fail(&at, Mistake::new("json::wrong-type", "a layer is a JSON object"));
                continue;
            };
            if object.get("ink").is_none_or(Value::is_null) {
                self.fail(&format!("{at}/ink"), Mistake::new("json::missing-key", "a layer needs its ink"));
            }
            for (key, value) in object.iter().filter(|e| !e.1.is_null()) {
                let at = format!("{at}/{}", escape(key));
                // In a layer the ink's colour is just its colour.
                let key = if key == "colour" { "ink_colour" } else { key };
                if self.attribute_of(key).is_some_and(|(_, a)| !a.per_layer) {
                    self.unknown_key(key, &at);
                    continue;
                }
                self.key(&mut resolver, layer, key, value, &at);
            }
        }
        let mut position = None;
        for (key, value) in object.iter().filter(|e| !e.1.is_null()) {
            let at = format!("{pointer}/{}", escape(key));
            match key.as_str() {
                "layers" => {}
                "position" | "part" => match value.as_str() {
                    Some(s) if key == "position" => position = Some(s.to_owned()),
                    Some(_) => {}
                    None => self.fail(&at, Mistake::new("json::wrong-type", format!("`{key}` is a text"))),
                },
                "pieces" | "print_size" => {
                    let mut own = Object::new();
                    own.insert(key.clone(), value.clone());
                    self.key(&mut resolver, 0, "run", &Value::Object(own), pointer);
                }
                _ => self.key(&mut resolver, layers.len() - 1, key, value, &at),
            }
        }
        Some(Print { position, stated: resolver.stated })
    }

    /// Values of the knowledge that were found out for this job.
    fn found(&mut self, resolver: &mut Resolver<'a>, value: &Value, pointer: &str) {
        let Some(values) = value.as_object() else {
            let m = Mistake::new("json::wrong-type", format!("`{FOUND}` is a JSON object"));
            return self.fail(pointer, m.help(format!("write \"{FOUND}\": {{\"leather.heat_limit\": \"130 °C\"}}")));
        };
        for (path, value) in values.iter().filter(|e| !e.1.is_null()) {
            let text = match value {
                Value::Bool(yes) => (if *yes { "yes" } else { "no" }).to_owned(),
                Value::String(text) => text.clone(),
                other => other.to_string(),
            };
            if let Err(mistake) = resolver.found_at(path, &text) {
                self.fail(&format!("{pointer}/{}", escape(path)), mistake);
            }
        }
    }

    /// The attribute whose JSON key this is.
    fn attribute_of(&self, path: &str) -> Option<(AttributeId, &'a Attribute)> {
        let found = self.model.attributes.iter().position(|a| a.json.as_deref() == Some(path))?;
        self.model.attributes.get(found).map(|a| (AttributeId(found as u16), a))
    }

    fn key(&mut self, resolver: &mut Resolver<'a>, layer: usize, path: &str, value: &Value, pointer: &str) {
        if value.is_null() {
            return;
        }
        if let Some((id, attribute)) = self.attribute_of(path) {
            let layer = if attribute.per_layer { layer } else { 0 };
            self.value(resolver, id, attribute, layer, value, pointer);
            return;
        }
        let group = format!("{path}.");
        let is_group = self.model.attributes.iter().any(|a| a.json.as_deref().is_some_and(|j| j.starts_with(&group)));
        if path == FOUND {
            self.found(resolver, value, pointer);
        } else if path == "run.print_size" {
            self.print_size(resolver, value, pointer);
        } else if is_group {
            match value.as_object() {
                Some(inner) => {
                    for (key, value) in inner {
                        self.key(
                            resolver,
                            layer,
                            &format!("{path}.{key}"),
                            value,
                            &format!("{pointer}/{}", escape(key)),
                        );
                    }
                }
                None => self.fail(pointer, Mistake::new("json::wrong-type", format!("`{path}` is a JSON object"))),
            }
        } else {
            self.unknown_key(path, pointer);
        }
    }

    fn unknown_key(&mut self, path: &str, pointer: &str) {
        let known: Vec<&str> =
            self.model.attributes.iter().filter_map(|a| a.json.as_deref()).chain(GENERAL).chain(SHORTHAND).collect();
        let mut m = Mistake::new("json::unknown-key", format!("unknown key `{path}`"));
        m.nearest = crate::diagnostic::nearest(path, known.into_iter()).into_iter().map(str::to_owned).collect();
        let near: Vec<&str> = m.nearest.iter().map(String::as_str).collect();
        m.help = Some(match near.as_slice() {
            [] => "put what is yours alone under \"ext\"".to_owned(),
            _ => format!("did you mean {}?", crate::diagnostic::one_of(&near)),
        });
        self.fail(pointer, m);
    }

    fn value(
        &mut self,
        resolver: &mut Resolver<'a>,
        id: AttributeId,
        attribute: &Attribute,
        layer: usize,
        value: &Value,
        pointer: &str,
    ) {
        // Asked and not known: said, and everything is still possible.
        if value.as_str() == Some("unknown") {
            let domain = Domain::everything(attribute.ty, self.model);
            self.say(resolver, id, layer, domain, "not known", pointer);
            return;
        }
        match attribute.ty {
            AttributeType::Choice(_) => match value.as_str() {
                Some(text) => self.text(resolver, id, layer, text, pointer),
                None => self.fail(pointer, Mistake::new("json::wrong-type", "this is one text")),
            },
            AttributeType::YesNo => match value.as_bool() {
                Some(yes) => self.say(
                    resolver,
                    id,
                    layer,
                    Domain::YesNo { yes, no: !yes },
                    if yes { "yes" } else { "no" },
                    pointer,
                ),
                None => self.fail(pointer, Mistake::new("json::wrong-type", "this is true or false")),
            },
            AttributeType::Set(kind) => {
                let Some(items) = value.as_array() else {
                    self.fail(pointer, Mistake::new("json::wrong-type", "this is a list of texts"));
                    return;
                };
                let mut named = Mask::EMPTY;
                let mut words = Vec::new();
                for (i, item) in items.iter().enumerate() {
                    let at = format!("{pointer}/{i}");
                    let found = item
                        .as_str()
                        .ok_or_else(|| Mistake::new("json::wrong-type", "this is one text"))
                        .and_then(|t| resolver.member(kind, t).map(|m| (m, t)));
                    match found {
                        Ok((m, t)) => {
                            named.insert(m);
                            words.push(t);
                        }
                        Err(m) => self.fail(&at, m),
                    }
                }
                let domain =
                    if items.is_empty() { Domain::Set { must: named, may: named } } else { resolver.listed(id, named) };
                let words = if words.is_empty() { "none".to_owned() } else { words.join(", ") };
                self.say(resolver, id, layer, domain, &words, pointer);
            }
            AttributeType::Blend(_) => self.blend(resolver, id, value, pointer),
            AttributeType::Amounts(_) => self.amounts(resolver, id, attribute, layer, value, pointer),
            AttributeType::Quantity(_) | AttributeType::Setting(_) => match self.interval(resolver, id, value) {
                Ok(((low, high), words)) => {
                    self.say(resolver, id, layer, Domain::Number { low, high }, &words, pointer)
                }
                Err(m) => self.fail(pointer, m),
            },
        }
    }

    fn say(
        &mut self,
        resolver: &mut Resolver<'a>,
        id: AttributeId,
        layer: usize,
        domain: Domain,
        words: &str,
        pointer: &str,
    ) {
        if let Err(m) = resolver.say(id, layer, domain, words) {
            self.fail(pointer, m);
        }
    }

    fn text(&mut self, resolver: &mut Resolver<'a>, id: AttributeId, layer: usize, text: &str, pointer: &str) {
        let result = if text.starts_with('#') {
            resolver.hex(id, layer, text)
        } else {
            let kind = match resolver.attribute(id).map(|a| a.ty) {
                Some(AttributeType::Choice(k)) => k,
                _ => return,
            };
            let named = resolver.member(kind, text);
            if named.is_err() && self.coat(resolver, id, layer, text, pointer) {
                return;
            }
            named.and_then(|m| resolver.say(id, layer, resolver.meant(kind, m, text), text))
        };
        if let Err(m) = result {
            self.fail(pointer, m);
        }
    }

    /// An ink with its colour, in words as in a question: `white plastisol`. Whether it names an ink; what else is wrong
    /// with it is reported.
    fn coat(&mut self, resolver: &mut Resolver<'a>, id: AttributeId, layer: usize, text: &str, pointer: &str) -> bool {
        let tokens = resolver.attribute(id).filter(|a| a.material).and_then(|_| parse_phrase(text).ok());
        match tokens.and_then(|t| resolve_coat(t, layer, resolver)) {
            None => false,
            Some(Ok(read)) => {
                *resolver = read;
                true
            }
            Some(Err(problems)) => {
                for problem in problems {
                    let mut mistake = Mistake::new(problem.code, problem.message);
                    mistake.help = problem.help;
                    self.fail(pointer, mistake);
                }
                true
            }
        }
    }

    /// A quantity as text, as `{"value":160,"unit":"Cel"}`, or as `{"min":…,"max":…,"unit":…}`.
    fn interval(
        &self,
        resolver: &Resolver<'a>,
        id: AttributeId,
        value: &Value,
    ) -> Result<((i64, i64), String), Mistake> {
        let shape = || {
            Mistake::new("json::wrong-type", "this is a quantity with its unit")
                .help("write it like \"160 °C\", or {\"value\": 160, \"unit\": \"Cel\"}")
        };
        match value {
            Value::String(text) => resolver.ends(id, text).map(|ends| (ends, text.clone())),
            // A bare number is enough where the dimension has a unit without a symbol.
            Value::Number(n) => resolver.quantity(id, &n.to_string()).map(|q| ((q, q), n.to_string())),
            Value::Object(o) => {
                let unit = o.get("unit").and_then(Value::as_str).unwrap_or("");
                let known = ["value", "min", "max", "unit"];
                if let Some(stray) = o.keys().find(|k| !known.contains(&k.as_str())) {
                    return Err(Mistake::new("json::unknown-key", format!("unknown key `{stray}`"))
                        .help("use value, min, max and unit"));
                }
                let read = |key: &str| -> Result<Option<i64>, Mistake> {
                    match o.get(key) {
                        None | Some(Value::Null) => Ok(None),
                        Some(Value::Number(n)) => resolver.quantity(id, &format!("{n} {unit}")).map(Some),
                        Some(_) => Err(shape()),
                    }
                };
                let words = value.to_string();
                match (read("value")?, read("min")?, read("max")?) {
                    (Some(v), None, None) => Ok((resolver.around(id, v, unit), words)),
                    (None, Some(a), Some(b)) if a <= b => Ok(((a, b), words)),
                    (None, Some(_), Some(_)) => {
                        Err(Mistake::new("json::upside-down", "the least is above the most").help("swap min and max"))
                    }
                    (None, Some(a), None) => Ok(((a, crate::quantity::MOST), words)),
                    (None, None, Some(b)) => Ok(((crate::quantity::LEAST, b), words)),
                    _ => Err(shape()),
                }
            }
            _ => Err(shape()),
        }
    }

    fn blend(&mut self, resolver: &mut Resolver<'a>, id: AttributeId, value: &Value, pointer: &str) {
        let domain = match value {
            Value::String(text) => {
                let read = parse_phrase(text).map_err(|p| vec![p]).and_then(|t| resolve_composition(&t, id, resolver));
                match read {
                    Ok(domain) => Ok((domain, text.clone())),
                    Err(problems) => {
                        for p in problems {
                            let mut m = Mistake::new(p.code, p.message);
                            m.help = p.help;
                            if let Some(AttributeType::Blend(k)) = resolver.attribute(id).map(|a| a.ty) {
                                let word = text.get(
                                    p.labels.first().map_or(0, |l| l.0.start as usize)
                                        ..p.labels.first().map_or(0, |l| l.0.end as usize),
                                );
                                m.nearest = self.names.nearest(&[k], word.unwrap_or(""));
                            }
                            self.fail(pointer, m);
                        }
                        return;
                    }
                }
            }
            Value::Object(shares) => {
                let Some(AttributeType::Blend(kind)) = resolver.attribute(id).map(|a| a.ty) else { return };
                let mut parts: Vec<(usize, Option<Share>)> = Vec::new();
                let mut clean = true;
                for (name, share) in shares {
                    let at = format!("{pointer}/{}", escape(name));
                    let read = resolver.member(kind, name).and_then(|m| Ok((m, self.share(resolver, id, share)?)));
                    match read {
                        Ok((m, s)) => parts.push((m, Some(s))),
                        Err(m) => {
                            clean = false;
                            self.fail(&at, m);
                        }
                    }
                }
                if !clean {
                    return;
                }
                resolver.blend(id, &parts, &[]).map(|d| (d, value.to_string()))
            }
            _ => Err(Mistake::new("json::wrong-type", "a composition is a text or an object of shares")
                .help("write it like \"60% cotton, 40% polyester\" or {\"cotton\": 60, \"polyester\": 40}")),
        };
        match domain {
            Ok((domain, words)) => self.say(resolver, id, 0, domain, &words, pointer),
            Err(m) => self.fail(pointer, m),
        }
    }

    fn share(&self, resolver: &Resolver<'a>, id: AttributeId, value: &Value) -> Result<Share, Mistake> {
        match value {
            Value::Number(n) => resolver.share(id, &n.to_string()).map(|s| (s, s)),
            Value::String(s) => resolver.share(id, s).map(|s| (s, s)),
            Value::Object(o) => {
                let end = |key: &str| {
                    o.get(key).and_then(Value::as_f64).map(|n| resolver.share(id, &n.to_string())).transpose()
                };
                match (end("min")?, end("max")?) {
                    (Some(a), Some(b)) if a <= b => Ok((a, b)),
                    _ => Err(Mistake::new("json::wrong-type", "a range of shares has min and max, the least first")),
                }
            }
            _ => Err(Mistake::new("json::wrong-type", "a share is a number of per cent")),
        }
    }

    fn amounts(
        &mut self,
        resolver: &mut Resolver<'a>,
        id: AttributeId,
        attribute: &Attribute,
        layer: usize,
        value: &Value,
        pointer: &str,
    ) {
        let AttributeType::Amounts(kind) = attribute.ty else { return };
        let Some(items) = value.as_array() else {
            let m = Mistake::new("json::wrong-type", "this is a list")
                .help("write [{\"additive\": \"low-cure additive\", \"dose\": \"5 %\"}]");
            self.fail(pointer, m);
            return;
        };
        if items.is_empty() {
            self.say(resolver, id, layer, Domain::nothing(attribute.ty, self.model), "none", pointer);
            return;
        }
        let kind_name = self.model.kinds.get(kind.index()).map_or("name", |k| k.name.as_str()).to_owned();
        for (i, item) in items.iter().enumerate() {
            let at = format!("{pointer}/{i}");
            let (name, dose, of) = match item {
                Value::String(s) => (Some(s.as_str()), None, None),
                Value::Object(o) => {
                    let known = [kind_name.as_str(), "dose", "of"];
                    if let Some(stray) = o.keys().find(|k| !known.contains(&k.as_str())) {
                        let m = Mistake::new("json::unknown-key", format!("unknown key `{stray}`"))
                            .help(format!("use {}", crate::diagnostic::one_of(&known)));
                        self.fail(&format!("{at}/{}", escape(stray)), m);
                        continue;
                    }
                    (
                        o.get(&kind_name).and_then(Value::as_str),
                        o.get("dose").filter(|d| !d.is_null()),
                        o.get("of").and_then(Value::as_str),
                    )
                }
                _ => (None, None, None),
            };
            let Some(name) = name else {
                self.fail(&at, Mistake::new("json::missing-key", format!("no {kind_name} is named")));
                continue;
            };
            let amount = match dose.map(|d| self.dose(resolver, id, d, of)).transpose() {
                Ok(a) => a,
                Err(m) => {
                    self.fail(&format!("{at}/dose"), m);
                    continue;
                }
            };
            let said = resolver.member(kind, name).and_then(|m| resolver.add_amount(id, layer, m, amount, name));
            if let Err(m) = said {
                self.fail(&at, m);
            }
        }
    }

    /// A dose in per cent of the ink. A dose of the finished mix is turned into one of the ink.
    fn dose(
        &self,
        resolver: &Resolver<'a>,
        id: AttributeId,
        value: &Value,
        of: Option<&str>,
    ) -> Result<Share, Mistake> {
        let (low, high) = match value {
            Value::String(text) if !text.contains(|c: char| !(c.is_ascii_digit() || c == '.')) => {
                return Err(Mistake::new("job::bad-quantity", format!("`{text}` has no unit"))
                    .help("write the dose like \"5 %\" or \"50 g/kg\""));
            }
            Value::Number(n) => {
                return Err(Mistake::new("job::bad-quantity", format!("`{n}` has no unit"))
                    .help("write the dose like \"5 %\" or \"50 g/kg\""));
            }
            other => self.share(resolver, id, other)?,
        };
        match of {
            None | Some("ink") => Ok((low, high)),
            Some("mix") => {
                let whole = crate::job::whole(self.model);
                let of_ink = |d: i64| if d < whole { d * whole / (whole - d) } else { whole };
                Ok((of_ink(low), of_ink(high)))
            }
            Some(other) => Err(Mistake::new("json::wrong-value", format!("a dose of `{other}` is not known"))
                .help("use \"ink\" or \"mix\"")),
        }
    }

    /// `30 x 25 cm`.
    fn print_size(&mut self, resolver: &mut Resolver<'a>, value: &Value, pointer: &str) {
        let shape =
            || Mistake::new("json::wrong-type", "a print size is width by height").help("write it like \"30 x 25 cm\"");
        let Some(text) = value.as_str() else {
            self.fail(pointer, shape());
            return;
        };
        let lower = text.to_lowercase().replace('×', "x");
        let Some((width, rest)) = lower.split_once('x') else {
            self.fail(pointer, shape());
            return;
        };
        let unit = rest.trim().trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').trim();
        let height = rest.trim();
        let width = if width.trim().ends_with(|c: char| c.is_ascii_digit()) {
            format!("{} {unit}", width.trim())
        } else {
            width.to_owned()
        };
        for (path, text) in [("run.print_width", width.as_str()), ("run.print_height", height)] {
            let Some((id, _)) = self.attribute_of(path) else { continue };
            match resolver.quantity(id, text) {
                Ok(q) => self.say(resolver, id, 0, Domain::Number { low: q, high: q }, text, pointer),
                Err(m) => self.fail(pointer, m),
            }
        }
    }
}

/// Escapes a key for a JSON pointer (RFC 6901).
fn escape(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}
