//! What is found in sheets that are not open and use one that is, as it is in the editor.

use std::collections::BTreeMap;

use serde_json::Value;

use super::address::address_of;
use super::findings;
use super::moment::Moment;
use super::scratch::Scratch;

/// By address; those without any finding are left out.
pub(super) fn findings(moment: &Moment, links: Option<&Scratch>) -> Vec<(String, Vec<Value>)> {
    all(moment, links).into_iter().filter(|(_, shown)| !shown.is_empty()).collect()
}

/// By address.
pub(super) fn all(moment: &Moment, links: Option<&Scratch>) -> BTreeMap<String, Vec<Value>> {
    let mut found = BTreeMap::new();
    for address in moment.documents.keys() {
        let Ok((workspace, document)) = moment.workspace(address) else { continue };
        for user in workspace.users_of(&document.path, &document.path) {
            let own = address_of(&user.full);
            if found.contains_key(&own) || moment.documents.values().any(|open| open.path == user.full) {
                continue;
            }
            let text = user.text.clone();
            let look = moment.look_at(user, (&text, &own));
            if !look.analysis.uses.contains(&document.path) {
                continue;
            }
            let shown = findings::findings(&look, None, links);
            drop(look);
            found.insert(own, shown);
        }
    }
    found
}
