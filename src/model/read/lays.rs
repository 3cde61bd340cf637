//! What a condition asks to be laid below: `lays: {layer.ink: same, layer.colour: white}`.

use super::Reader;
use super::fields::text;
use crate::diagnostic::Problem;
use crate::document::{Node, Value};
use crate::model::{AttributeId, Laid, Model};

/// Each attribute of the layer below, with a member or `same` as the layer that it lies under.
pub(super) fn lays(node: &Node, model: &Model, reader: &mut Reader) -> Vec<(AttributeId, Laid)> {
    let Value::Map(pairs) = &node.value else {
        let message = "what is laid below is written as attributes and values";
        reader.report(
            Problem::new("knowledge::wrong-type", node.span, "here", message)
                .help("write it like {layer.ink: same, layer.colour: white}"),
        );
        return Vec::new();
    };
    let mut lays = Vec::new();
    for (key, value) in pairs {
        let id = model.attribute(&key.name);
        let kind = id.and_then(|id| id.of(model)).filter(|a| a.per_layer).and_then(|a| a.ty.members());
        let (Some(id), Some(kind)) = (id, kind) else {
            let message = format!("`{}` is no material or look of a layer", key.name);
            reader.report(
                Problem::new("knowledge::unknown-name", key.span, "here", message)
                    .help("name an attribute that each layer has and that holds members of a kind"),
            );
            continue;
        };
        let Some(written) = text(value, reader) else { continue };
        let member = model.entity(kind, &written).and_then(|e| e.ordinal);
        match (written.as_str(), member) {
            ("same", _) => lays.push((id, Laid::Same)),
            (_, Some(member)) => lays.push((id, Laid::Member(member))),
            _ => reader.report(
                Problem::new("knowledge::unknown-name", value.span, "here", format!("`{written}` is not known here"))
                    .help("name a thing by its id, or `same` for what the layer above is"),
            ),
        }
    }
    lays
}
