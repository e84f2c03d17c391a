//! The conversation with one client: what comes is taken in its order, changes without a pause at once.

use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::rc::Rc;
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, Sender, select, unbounded};
use lsp_server::{Connection, ErrorCode, Message, Notification, Request, RequestId, Response};
use serde_json::{Value, json};

use super::client::Client;
use super::documents::Documents;
use super::folder::Owed;
use super::moment::{Moment, Shop, within};
use super::scratch::Scratch;
use super::worker::{Cancelled, Done, Job, work};
use crate::files::Files;
use crate::rules::Date;
use crate::workspace::{Homes, Judged};

/// So long nothing came: who was typing waits for an answer.
const PAUSE: Duration = Duration::from_millis(1);
/// However fast changes come, findings wait no longer than this.
const LONGEST: Duration = Duration::from_millis(50);
/// As long as nothing is expected.
const IDLE: Duration = Duration::from_secs(3600);

pub(super) struct Server {
    connection: Connection,
    pub(super) files: Arc<dyn Files>,
    pub(super) today: Option<Date>,
    pub(super) homes: Arc<Homes>,
    /// The open sheets as they were judged last.
    judged: Rc<Judged>,
    pub(super) client: Client,
    pub(super) documents: Arc<Documents>,
    /// The bytes that the last change wrote, of the texts that are still being typed in.
    pub(super) typing: BTreeMap<String, Range<usize>>,
    /// Those whose findings are to be told anew, and since when.
    pub(super) changed: BTreeSet<String>,
    pub(super) since: Instant,
    /// Files changed that are not open.
    pub(super) elsewhere: bool,
    /// When what is being typed counts as finished.
    pub(super) finished: Option<Instant>,
    /// Sheets that are not open, and packs, that findings were sent for.
    pub(super) told_users: BTreeSet<String>,
    pub(super) told_packs: BTreeSet<String>,
    pub(super) scratch: Arc<Scratch>,
    jobs: Sender<Job>,
    done: Receiver<Done>,
    pub(super) answers: Sender<Done>,
    /// The request for the findings of all sheets, while nothing is owed.
    pub(super) folder_asked: Option<RequestId>,
    pub(super) owed: Owed,
    /// Whether the client asks for these: then it is sent nothing of sheets that are not open.
    pub(super) pulls_folder: bool,
    pub(super) waiting: HashSet<RequestId>,
    pub(super) cancelled: Cancelled,
    /// How many requests were sent to the client.
    asked: i32,
    pub(super) over: bool,
}

/// What there is to do next.
enum Event {
    Message(Message),
    Done(Done),
    /// Nothing came for as long as it was waited.
    Quiet,
    /// The client is gone.
    Gone,
}

impl Server {
    /// Greets the client; `None` where it goes at once.
    pub(super) fn start(connection: Connection, files: Arc<dyn Files>, today: Option<Date>) -> Option<Self> {
        let (id, initialize) = connection.initialize_start().ok()?;
        let client = Client::of(&initialize);
        let greeting = json!({ "capabilities": client.abilities(), "serverInfo": { "name": "dryfit", "version": env!("CARGO_PKG_VERSION") } });
        connection.initialize_finish(id, greeting).ok()?;
        let (jobs, taken) = unbounded();
        let (answered, done) = unbounded();
        let (cancelled, homes) = (Cancelled::default(), Arc::new(Homes::default()));
        let (of_worker, read, known, encoding) =
            (Arc::clone(&cancelled), Arc::clone(&files), Arc::clone(&homes), client.encoding);
        let answers = answered.clone();
        std::thread::spawn(move || {
            let shop = Shop { files: &*read, homes: &known, today, encoding, judged: None };
            work(&taken, &answered, shop, &of_worker);
        });
        let mut server = Self {
            connection,
            files,
            today,
            homes,
            judged: Rc::default(),
            client,
            documents: Arc::default(),
            typing: BTreeMap::new(),
            changed: BTreeSet::new(),
            since: Instant::now(),
            elsewhere: false,
            finished: None,
            told_users: BTreeSet::new(),
            told_packs: BTreeSet::new(),
            scratch: Arc::default(),
            jobs,
            done,
            answers,
            folder_asked: None,
            owed: Owed::default(),
            pulls_folder: false,
            waiting: HashSet::new(),
            cancelled,
            asked: 0,
            over: false,
        };
        server.watch();
        Some(server)
    }

    /// Answers until the client says goodbye or is gone.
    pub(super) fn run(mut self) {
        let mut first = None;
        while !self.over {
            first = self.moment(first);
            if let Some(Message::Notification(notification)) =
                first.take_if(|message| matches!(message, Message::Notification(_)))
            {
                self.notification(notification);
            }
        }
        self.scratch.end();
    }

    /// Serves the texts as they are, until a message comes that changes them, or that wants what lies on the disk anew.
    fn moment(&mut self, first: Option<Message>) -> Option<Message> {
        let (documents, files, homes) = (Arc::clone(&self.documents), Arc::clone(&self.files), Arc::clone(&self.homes));
        let judged = Rc::clone(&self.judged);
        let (today, encoding) = (self.today, self.client.encoding);
        let shop = Shop { files: &*files, homes: &homes, today, encoding, judged: Some(&judged) };
        within(&documents, shop, |moment| {
            let mut event = first.map_or_else(|| self.next(), Event::Message);
            let mut is_first = true;
            while !self.over {
                match event {
                    Event::Message(Message::Request(_)) if !is_first && !self.client.watches && moment.is_stale() => {
                        homes.forget();
                        let Event::Message(message) = event else { return None };
                        return Some(message);
                    }
                    Event::Message(Message::Request(request)) => self.request(request, moment),
                    Event::Message(message @ Message::Notification(_)) => return Some(message),
                    // What the client says to our wishes changes nothing.
                    Event::Message(Message::Response(_)) => {}
                    Event::Done(done) => self.take_done(done),
                    Event::Quiet => self.guarded("textDocument/publishDiagnostics", |server| server.tell(moment)),
                    Event::Gone => self.over = true,
                }
                is_first = false;
                event = self.next();
            }
            None
        })
    }

    /// The next message. While findings are owed, nothing for a moment counts too: of many changes only the last is
    /// looked at.
    fn next(&self) -> Event {
        let left = |from: Instant| from.saturating_duration_since(Instant::now());
        let wait = if self.changed.is_empty() {
            self.finished.map_or(IDLE, left)
        } else if self.since.elapsed() > LONGEST {
            return Event::Quiet;
        } else {
            PAUSE
        };
        select! {
            recv(self.connection.receiver) -> message => message.map_or(Event::Gone, Event::Message),
            recv(self.done) -> done => done.map_or(Event::Quiet, Event::Done),
            default(wait) => Event::Quiet,
        }
    }

    fn request(&mut self, request: Request, moment: &Moment) {
        let (id, method) = (request.id.clone(), request.method.clone());
        if method == "shutdown" {
            self.send(Response::new_ok(id, Value::Null));
            return;
        }
        let answer = catch_unwind(AssertUnwindSafe(|| self.answer(request, moment)));
        let response = match answer {
            Ok(Some(Ok(value))) => Response::new_ok(id, value),
            Ok(Some(Err(trouble))) => Response::new_err(id, ErrorCode::InvalidParams as i32, trouble),
            // The worker answers.
            Ok(None) => return,
            Err(_) => broken(id, &method),
        };
        self.send(response);
    }

    /// Gives a job to the worker, which answers; `Some` where it cannot.
    pub(super) fn hand_over(&mut self, job: Job) -> Option<Result<Value, String>> {
        self.waiting.extend(job.id.clone());
        if self.jobs.send(job).is_err() { Some(Err("mends are not worked out any more".into())) } else { None }
    }

    /// The texts as they are, for a job.
    pub(super) fn texts_now(&self) -> Arc<Documents> {
        Arc::clone(&self.documents)
    }

    fn take_done(&mut self, done: Done) {
        match done {
            Done::Users(_) if self.pulls_folder => {}
            Done::Users(found) => self.tell_users(found),
            Done::Folder(id, items) => {
                self.cancelled.lock().unwrap_or_else(PoisonError::into_inner).remove(&id);
                if self.waiting.remove(&id) {
                    self.send(match items {
                        Some(items) => Response::new_ok(id, json!({ "items": items })),
                        None => broken(id, "workspace/diagnostic"),
                    });
                }
            }
            Done::Answer(id, _) if !self.waiting.remove(&id) => {}
            Done::Answer(id, Some(Ok(value))) => self.send(Response::new_ok(id, value)),
            Done::Answer(id, Some(Err(why))) => {
                self.send(Response::new_err(id, ErrorCode::RequestFailed as i32, why));
            }
            Done::Answer(id, None) => self.send(broken(id, "textDocument/codeAction")),
            Done::Picture(id, picture) if self.waiting.remove(&id) => {
                let shown = picture.and_then(|(name, picture)| self.show(&name, &picture));
                self.send(match shown {
                    Ok(()) => Response::new_ok(id, Value::Null),
                    Err(why) => Response::new_err(id, ErrorCode::RequestFailed as i32, why),
                });
            }
            Done::Picture(..) => {}
        }
    }

    fn notification(&mut self, notification: Notification) {
        let method = notification.method.clone();
        self.guarded(&method, |server| server.note(notification));
    }

    /// A fault of ours while nobody waits for an answer is logged.
    fn guarded(&mut self, method: &str, run: impl FnOnce(&mut Self)) {
        if catch_unwind(AssertUnwindSafe(|| run(self))).is_err() {
            let message = format!("`{method}`: {FAULT}");
            self.send(Notification::new("window/logMessage".into(), json!({ "type": 1, "message": message })));
        }
    }

    /// Packs, settings and other sheets take effect as soon as they are saved, by whomever.
    fn watch(&mut self) {
        if self.client.watches {
            let watchers = [json!({ "globPattern": "**/*.dryfit" }), json!({ "globPattern": "**/*.yaml" })];
            let method = "workspace/didChangeWatchedFiles";
            let registration = json!({ "id": "files", "method": method, "registerOptions": { "watchers": watchers } });
            self.ask("client/registerCapability", &json!({ "registrations": [registration] }));
        }
    }

    pub(super) fn ask(&mut self, method: &str, params: &Value) {
        self.asked += 1;
        self.send(Request::new(self.asked.into(), method.to_owned(), params));
    }

    /// A client that is gone is noticed where messages are taken.
    pub(super) fn send(&mut self, message: impl Into<Message>) {
        let _ = self.connection.sender.send(message.into());
    }
}

/// What a fault of ours is answered with.
const FAULT: &str = "a fault of dryfit's own, not of your sheet; please report it with the sheet that it came from";

fn broken(id: RequestId, method: &str) -> Response {
    Response::new_err(id, ErrorCode::InternalError as i32, format!("`{method}`: {FAULT}"))
}
