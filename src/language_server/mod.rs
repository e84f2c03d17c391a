//! The editor's side: the same pipeline, kept running, over standard input and output.
//!
//! One thread takes messages in their order and answers what is quick; another works out mends, pictures and what is
//! found in sheets that are not open. Every answer is made from the texts as they are in the editor: between two changes
//! each is read once (`moment`), after a change whole and anew. Only judgements that the change does not reach are taken
//! over (`rules::kept`).

mod address;
mod client;
mod completion;
mod documents;
mod findings;
mod fixes;
mod folder;
mod half;
mod hints;
mod hover;
mod lenses;
mod look;
mod moment;
mod names;
mod notifications;
mod offers;
mod pictures;
mod place;
mod publish;
mod requests;
mod scratch;
mod server;
mod spot;
mod symbols;
mod users;
mod worker;

use std::sync::Arc;

use lsp_server::Connection;

use crate::files::{Disk, Files};
use crate::rules::Date;

/// Serves the editor that started this program, until it says goodbye or closes the pipe.
pub fn run(today: Option<Date>) {
    let (connection, threads) = Connection::stdio();
    serve(connection, Arc::new(Disk::seen_from(".")), today);
    // What was closed on the other side is a normal end.
    let _ = threads.join();
}

/// Serves one client over a connection, reading what it has not opened from `files`.
pub fn serve(connection: Connection, files: Arc<dyn Files>, today: Option<Date>) {
    if let Some(server) = server::Server::start(connection, files, today) {
        server.run();
    }
}
