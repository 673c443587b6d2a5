//! Which routes are there, what does each take and answer, and who may call it?
//!
//! One table makes both the router and its OpenAPI description. What a route takes and
//! answers is read off its handler's own type, so that the description can't say
//! otherwise than the code.

mod answers;
mod document;
pub mod kinds;
mod takes;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Request};
use axum::handler::Handler;
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodFilter, MethodRouter};
use schemars::{JsonSchema, Schema, SchemaGenerator};

pub use answers::{Answers, Events, File, Made, Written};
pub use document::document;
pub use takes::{Body, Bytes, Path, Query, Takes};

use crate::caller::{Caller, Needs};
use crate::{Error, State};

/// One route.
pub struct Endpoint {
    method: Method,
    /// As axum writes it, which is as OpenAPI does: `/api/jobs/{id}`.
    path: &'static str,
    /// One line for the page's author.
    says: &'static str,
    needs: Needs,
    refuses: &'static [u16],
    describe: fn(&mut Operation, &mut Shapes),
    handler: MethodRouter<State>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Method {
    Get,
    Post,
    Put,
    Delete,
}

impl Method {
    fn word(self) -> &'static str {
        match self {
            Self::Get => "get",
            Self::Post => "post",
            Self::Put => "put",
            Self::Delete => "delete",
        }
    }
}

/// What a route takes and answers, as its handler's type says.
#[derive(Default)]
pub struct Operation {
    parameters: Vec<Parameter>,
    body: Option<Content>,
    /// One content, or several of which the request chooses; nothing for an empty answer.
    answer: Option<(u16, Vec<Content>)>,
    refuses: Vec<u16>,
}

struct Parameter {
    name: String,
    in_path: bool,
    required: bool,
    description: Option<String>,
    schema: Schema,
}

/// A body, of a request or an answer.
struct Content {
    media: &'static str,
    schema: Option<Schema>,
}

/// The shapes met so far: what is read and what is written may differ in what may be left out.
pub struct Shapes {
    read: SchemaGenerator,
    written: SchemaGenerator,
}

impl Shapes {
    fn read<T: JsonSchema>(&mut self) -> Schema {
        self.read.subschema_for::<T>()
    }

    fn written<T: JsonSchema>(&mut self) -> Schema {
        self.written.subschema_for::<T>()
    }
}

impl Operation {
    /// What it answers when all goes well; said again, what it may answer besides.
    fn answers(&mut self, status: u16, content: Content) {
        let (_, contents) = self.answer.get_or_insert((status, Vec::new()));
        contents.push(content);
    }

    /// A status that it may answer with besides.
    fn refuses(&mut self, statuses: &[u16]) {
        self.refuses.extend(statuses);
    }
}

/// A handler whose arguments and answer are known. `M` tells the arities apart.
pub trait Described<M> {
    /// Says what it takes and answers.
    fn describe(operation: &mut Operation, shapes: &mut Shapes);
}

macro_rules! described {
    ($($argument:ident)*) => {
        impl<F, Fut, Out, $($argument,)*> Described<($($argument,)*)> for F
        where
            F: Fn($($argument),*) -> Fut,
            Fut: Future<Output = Out>,
            Out: Answers,
            $($argument: Takes,)*
        {
            fn describe(operation: &mut Operation, shapes: &mut Shapes) {
                $($argument::describe(operation, shapes);)*
                Out::describe(operation, shapes);
            }
        }
    };
}

described!();
described!(A);
described!(A B);
described!(A B C);
described!(A B C D);
described!(A B C D E);

impl Endpoint {
    fn new<H, T, M>(method: Method, path: &'static str, says: &'static str, handler: H) -> Self
    where
        H: Handler<T, State> + Described<M>,
        T: 'static,
    {
        let filter = match method {
            Method::Get => MethodFilter::GET,
            Method::Post => MethodFilter::POST,
            Method::Put => MethodFilter::PUT,
            Method::Delete => MethodFilter::DELETE,
        };
        let needs = match method {
            Method::Get => Needs::View,
            _ => Needs::Crew,
        };
        Self {
            method,
            path,
            says,
            needs,
            refuses: &[],
            describe: H::describe,
            handler: MethodRouter::new().on(filter, handler),
        }
    }

    /// A route that reads; a device that may look may call it.
    pub fn get<H, T, M>(path: &'static str, says: &'static str, handler: H) -> Self
    where
        H: Handler<T, State> + Described<M>,
        T: 'static,
    {
        Self::new(Method::Get, path, says, handler)
    }

    /// A route of the crew.
    pub fn post<H, T, M>(path: &'static str, says: &'static str, handler: H) -> Self
    where
        H: Handler<T, State> + Described<M>,
        T: 'static,
    {
        Self::new(Method::Post, path, says, handler)
    }

    /// A route of the crew that replaces.
    pub fn put<H, T, M>(path: &'static str, says: &'static str, handler: H) -> Self
    where
        H: Handler<T, State> + Described<M>,
        T: 'static,
    {
        Self::new(Method::Put, path, says, handler)
    }

    /// A route of the crew that takes away.
    pub fn delete<H, T, M>(path: &'static str, says: &'static str, handler: H) -> Self
    where
        H: Handler<T, State> + Described<M>,
        T: 'static,
    {
        Self::new(Method::Delete, path, says, handler)
    }

    /// Who may call it, where its method does not say.
    pub fn needs(mut self, needs: Needs) -> Self {
        self.needs = needs;
        self
    }

    /// How large its body may be, in bytes, where that is more than usual.
    pub fn takes(mut self, bytes_max: usize) -> Self {
        self.handler = self.handler.layer(DefaultBodyLimit::max(bytes_max));
        self
    }

    /// Statuses that its handler refuses with, besides those that its arguments do.
    pub fn refuses(mut self, statuses: &'static [u16]) -> Self {
        self.refuses = statuses;
        self
    }
}

/// The routes, each open to whom it may be.
pub fn router(endpoints: Vec<Endpoint>) -> Router<State> {
    let mut router = Router::new();
    for endpoint in endpoints {
        let needs = endpoint.needs;
        let guarded = endpoint
            .handler
            .layer(middleware::from_fn(move |request, next| {
                only_for(needs, request, next)
            }));
        router = router.route(endpoint.path, guarded);
    }
    router
}

async fn only_for(needs: Needs, request: Request, next: Next) -> Response {
    let Some(caller) = request.extensions().get::<Caller>() else {
        return Error::fault("a request came past the guard").into_response();
    };
    match caller.refused(needs) {
        Some(error) => error.into_response(),
        None => next.run(request).await,
    }
}
