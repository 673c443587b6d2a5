// Generated from crates/server/openapi.json by `npm run codegen`; never edited.

export interface paths {
    "/api/jobs": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every job, the last changed first; those that were put away on their own */
        get: {
            parameters: {
                query?: {
                    /** @description Those that were put away instead of the others. */
                    removed?: boolean;
                };
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["JobCard"][];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** Begins a job */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["NewJob"];
                };
            };
            responses: {
                /** @description done */
                201: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["NewId"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/import": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Begins a job from a job file or a bundle */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/octet-stream": unknown;
                };
            };
            responses: {
                /** @description done */
                201: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["NewId"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One job */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["JobView"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        /** Puts a job away: it goes from the list, and everything of it is kept */
        delete: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/restore": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Puts a job back that was put away */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/file": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The job file, as it was saved */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "text/plain; charset=utf-8": unknown;
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/bundle": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The job with its history and photographs */
        get: {
            parameters: {
                query?: {
                    /** @description Without who changed what and when: for people outside the firm. */
                    without_history?: boolean;
                };
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/zip": unknown;
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/edits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Saves a change */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Save"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Saved"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/undo": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Takes the last change back */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Again"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Saved"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/redo": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Makes a change again */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Again"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Saved"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/contested/{contested}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Settles what two people set differently */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    contested: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Settle"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Saved"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/history": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every revision, or those after one, the last first */
        get: {
            parameters: {
                query?: {
                    /** @description Those after this one alone; all when left out. */
                    since?: number | null;
                };
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Revision"][];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/revisions/{revision}/name": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Names a revision; an empty name takes it away */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    revision: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Name"];
                };
            };
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/compare": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What differs between two revisions */
        get: {
            parameters: {
                query: {
                    /** @description The earlier one. */
                    from: number;
                    /** @description The later one. */
                    to: number;
                };
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Comparison"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/findings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every finding, without the effects of remedies */
        get: {
            parameters: {
                query?: {
                    /** @description The last one when left out. */
                    revision?: number | null;
                };
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Findings"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/findings/{key}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One finding with the effect of each remedy */
        get: {
            parameters: {
                query?: {
                    /** @description The last one when left out. */
                    revision?: number | null;
                };
                header?: never;
                path: {
                    job: string;
                    key: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Finding"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/prove": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** How the findings of a changed copy differ; nothing is saved, the latest of a client wins */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Prove"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Proved"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/checks": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every check */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["CheckLine"][];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/checks/{check}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A check's manual */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    check: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Manual"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/limits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every limit that a house may change */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["HouseLimit"][];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/scene": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Where everything of a space is */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Scene"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** The scene of a changed copy; nothing is saved */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Scene"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/light": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Contrast of a space's projected pictures by month and hour */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Light"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** The light of a changed copy; nothing is saved */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Light"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/sound": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Levels over a space by octave, and from where each seat hears each channel */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Sound"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** The sound of a changed copy; nothing is saved */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Sound"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/walk": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What to measure in a space, and what was */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Walk"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** The walk of a changed copy; nothing is saved */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Walk"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/field": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Reads what was typed into a field; nothing is saved */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Typed"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["FieldRead"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/cables/{cable}/way": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A cable's way, the best of another kind, and what its dearest hole costs */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    cable: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["CableWay"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/conduits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Conduits cut across, with their cables as they lie */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Conduits"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/wiring": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Racks, mains circuits, the signal diagram, what each button does, and cut-outs */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Wiring"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/find/projector-place": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Where the projectors of a space can be, and what stops them */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["ProjectorPlaces"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/find/largest-picture": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** How large the pictures of a space can be, and what stops them */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["LargestPictures"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/find/display-place": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** How high the displays of a space can hang, and what stops them */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["DisplayPlaces"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/find/loudspeaker-place": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Where each loudspeaker of a space's layouts can go, and what stops it */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["LoudspeakerPlaces"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/find/loudspeaker-at": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What stops a loudspeaker at one place, and the nearest place that it can go */
        get: {
            parameters: {
                query: {
                    /** @description The loudspeaker's item. */
                    item: string;
                    /** @description The wall's id, `ceiling` or `floor`. */
                    surface: string;
                    /** @description On a wall from its left corner; else in plan, m. */
                    x: number;
                    /** @description On a wall above the floor; else in plan, m. */
                    y: number;
                };
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["LoudspeakerAt"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/find/layout-places": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Where all loudspeakers of a space's layouts should go together */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["LayoutPlaces"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/bass": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What is known of a space's bass: resonances, the subs as planned, the best places */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["BassState"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/bass/solve": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Begins to solve a space's bass and to compare places for subs */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["BassAsked"];
                };
            };
            responses: {
                /** @description done */
                201: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["BassBegun"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description too much at once */
                429: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/bass/heard": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** What each seat hears of subs that are tried; nothing is saved */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["BassTried"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["BassHeard"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/spaces/{space}/bass/field": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** The field of subs that are tried over a plane of the room, at one frequency */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    space: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["BassFieldAsked"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["BassField"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/sheets": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every sheet */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["SheetLine"][];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/sheets/{sheet}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A sheet's words, and where its drawings are */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    sheet: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Sheet"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/sheets/{sheet}/svg": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A sheet's drawing at its true size */
        get: {
            parameters: {
                query?: {
                    /** @description From 0; the first when left out. */
                    drawing?: number;
                };
                header?: never;
                path: {
                    job: string;
                    sheet: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "image/svg+xml": unknown;
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/print": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Begins to print the whole set as PDF */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Print"];
                };
            };
            responses: {
                /** @description done */
                201: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Begun"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description too much at once */
                429: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/solves/{key}/events": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Progress as server-sent events; the work stops when the last listener goes */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    key: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "text/event-stream": {
                            /** @enum {string} */
                            event: "progress" | "done" | "failed";
                            data: string;
                        };
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/solves/{key}/result.pdf": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What the work has made */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    key: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/pdf": unknown;
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/solves/{key}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /** Stops the work */
        delete: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    key: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/ticks": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What holds of each tick */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Tick"][];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** Ticks or unticks */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Ticked"];
                };
            };
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/photographs": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The photographs of a job */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Photograph"][];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        /** Adds a photograph */
        post: {
            parameters: {
                query: {
                    /** @description The operation's own number; the same again is not done again. */
                    op: string;
                    /** @description The document path of what it shows; empty for the job. */
                    pinned?: string;
                    /** @description What to see on it. */
                    caption?: string;
                    /** @description Keeps where, when and with what it was taken; left out otherwise. */
                    keep_location?: boolean;
                };
                header?: never;
                path: {
                    job: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/octet-stream": unknown;
                };
            };
            responses: {
                /** @description done */
                201: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Photograph"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/jobs/{job}/photographs/{hash}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /** Takes a photograph out of a job */
        delete: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    job: string;
                    hash: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/photographs/{hash}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A photograph: a JPEG */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    hash: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "image/jpeg": unknown;
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/catalogue": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Every entry, by kind */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["CatalogueKind"][];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/catalogue/{kind}/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        /** Puts an entry in the place of its id */
        put: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    kind: string;
                    id: string;
                };
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Facts"];
                };
            };
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        post?: never;
        /** Takes an entry out */
        delete: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    kind: string;
                    id: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/catalogue/read": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Reads a CSV or XLSX table, and guesses what its columns hold */
        post: {
            parameters: {
                query: {
                    /** @description What its rows are. */
                    kind: string;
                    /** @description The file's name. */
                    name?: string;
                    /** @description The sheet of a workbook; the first with a table when left out. */
                    sheet?: string | null;
                };
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/octet-stream": unknown;
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["CatalogueRead"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/catalogue/import": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Takes the rows of a table that was read as entries */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Import"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["CatalogueReport"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/catalogue/export": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The entries of a kind as a table */
        get: {
            parameters: {
                query: {
                    /** @description What they are. */
                    kind: string;
                    /** @description As what. */
                    as: components["schemas"]["Form"];
                };
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "text/csv; charset=utf-8": unknown;
                        "application/octet-stream": unknown;
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/me": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Who asks, and what the device may do */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Me"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/schema/job": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The JSON Schema of a job file */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": unknown;
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/openapi.json": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** This description */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": unknown;
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sharing": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Where devices reach the laptop, and which are paired */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Sharing"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sharing/code": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Shows a code that pairs one device */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Wanted"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Sharing"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sharing/devices/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /** Lets a device go */
        delete: {
            parameters: {
                query?: never;
                header?: never;
                path: {
                    id: string;
                };
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-out-everywhere": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Lets every device go */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the device may not do this */
                403: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pair": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Pairs the device that asks, by the code shown */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody: {
                content: {
                    "application/json": components["schemas"]["Typed2"];
                };
            };
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Paired"];
                    };
                };
                /** @description the request can't be read */
                400: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the device is not paired */
                401: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description something else came between */
                409: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is too large */
                413: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description what was sent is of another kind */
                415: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description it reads, but can't be done */
                422: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/sign-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Lets the device go that asks */
        post: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                204: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content?: never;
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/ca.crt": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What a device is told to trust */
        get: {
            parameters: {
                query?: never;
                header?: never;
                path?: never;
                cookie?: never;
            };
            requestBody?: never;
            responses: {
                /** @description done */
                200: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/x-x509-ca-cert": unknown;
                    };
                };
                /** @description it is not there */
                404: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
                /** @description the program made a mistake */
                500: {
                    headers: {
                        [name: string]: unknown;
                    };
                    content: {
                        "application/json": components["schemas"]["Error"];
                    };
                };
            };
        };
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
}
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        /** @description What one person set a fact to. */
        Account: {
            /** @description The value as written; empty when it was taken away. */
            text: string;
            /** @description Who. */
            who: string;
            /** @description When, RFC 3339. */
            when: string;
        };
        /** @description Taking back, or making again. */
        Again: {
            /** @description The operation's own number. */
            op: string;
            /**
             * Format: uint64
             * @description The revision that the client shows: `delta` tells what differs from it. The one
             *     before when left out.
             * @default null
             */
            base?: number | null;
        };
        /** @description From where a seat hears the channels of a layout. */
        AngleDial: {
            /** @description The seat. */
            seat: string;
            /** @description Whether the layout is meant for it. */
            is_main: boolean;
            /** @description One sentence on what it hears. */
            says: string;
            /** @description Each channel. */
            channels: components["schemas"]["DialChannel"][];
        };
        /** @description How many findings of a trade have each verdict. */
        AreaCounts: {
            /** @description The trade. */
            area: string;
            /** @description Its counts. */
            counts: components["schemas"]["Counts"];
        };
        /** @description A margin and its uncertainty on one scale, in the finding's unit. */
        Bar: {
            /**
             * Format: double
             * @description Signed; the limit is at 0.
             */
            margin: number;
            /**
             * Format: double
             * @description Half the width of the band about the margin, 95 %.
             */
            uncertainty: number;
            /**
             * Format: double
             * @description What the drawing reaches to on either side of the limit: 1, 2 or 5 times a power of
             *     ten, and no less than margin and uncertainty together.
             */
            scale: number;
        };
        /** @description Subs with what is set on them, and what they come to. */
        BassArrangement: {
            /** @description The subs. */
            subs: components["schemas"]["BassSub"][];
            /**
             * Format: double
             * @description How far seats differ: root of the mean spatial variance, dB.
             */
            spread_db: number;
            /**
             * Format: double
             * @description How far that may be off, 95 %, dB: absorption is known within a factor of two.
             */
            spread_off_db: number;
            /**
             * Format: double
             * @description How far the mean over seats strays from flat, dB.
             */
            flatness_db: number;
            /**
             * Format: double
             * @description How far above the wanted level the weakest note can be played, dB; negative is short;
             *     none without the sub's output.
             */
            reserve_db: number | null;
            /**
             * Format: double
             * @description What the search makes least, dB².
             */
            cost: number;
            /** @description Whether it is as good as the best of so many subs, as far as the room is known. */
            equals_best: boolean;
            /** @description The loudest by third octave; empty without the sub's output. */
            plays: components["schemas"]["BassLoudest"][];
            /** @description Level at each seat over one sub's at 1 m in the open, dB: `levels_db[seat][frequency]`. */
            levels_db: number[][];
            /** @description How the job's subs are put there; none where that is done by hand, or they are there. */
            put: components["schemas"]["BassPut"] | null;
            /** @description What wire, sockets, time and money all subs take; none without a sub in the job to go by. */
            fitting: components["schemas"]["BassFitting"] | null;
            /** @description All of it in a sentence. */
            says: string;
        };
        /** @description What is to be compared. */
        BassAsked: {
            /**
             * Format: double
             * @description The level that all subs together should reach, dB; 115 when left out.
             * @default null
             */
            level_db?: number | null;
            /**
             * Format: double
             * @description The frequency at which subs and mains part, Hz; 80 when left out.
             * @default null
             */
            crossover_hz?: number | null;
            /**
             * @description Whether gain, delay and polarity can be set for each sub; true when left out.
             * @default null
             */
            settings?: boolean | null;
        };
        /** @description Work that was begun. */
        BassBegun: {
            /** @description Its key: `/api/solves/{key}/events` tells how far it is. */
            key: string;
        };
        /** @description The best arrangements of a number of subs. */
        BassBest: {
            /**
             * Format: uint
             * @description How many subs.
             */
            subs: number;
            /** @description Whether the first is proven to be the best of all on the grid of settings. */
            is_proven: boolean;
            /** @description The best, then runners-up of other kinds. */
            ranked: components["schemas"]["BassArrangement"][];
        };
        /** @description A line of equal level. */
        BassContour: {
            /**
             * Format: double
             * @description Level over the mean, dB.
             */
            over_mean_db: number;
            /** @description Straight pieces, each from one point to another: x, y, x, y, m. */
            pieces: [
                number,
                number,
                number,
                number
            ][];
        };
        /** @description How long a third octave rings. */
        BassDecay: {
            /**
             * Format: double
             * @description The band's name, Hz.
             */
            hz: number;
            /**
             * Format: double
             * @description As it would be measured, s for 60 dB; none without a resonance in the band.
             */
            t60_s: number | null;
            /**
             * Format: double
             * @description Its longest resonance, s.
             */
            longest_s: number | null;
        };
        /** @description Levels over a plane of the room at one frequency. */
        BassField: {
            /**
             * Format: double
             * @description The frequency, Hz.
             */
            hz: number;
            /** @description The plane. */
            plane: components["schemas"]["BassPlane"];
            /** @description The first point: along the plane's first direction and its second, m. */
            from: [
                number,
                number
            ];
            /**
             * Format: double
             * @description From one point to the next either way, m.
             */
            step_m: number;
            /**
             * Format: uint
             * @description Points in a row.
             */
            columns: number;
            /** @description Level over one sub's at 1 m in the open, dB, row by row; none outside the room. */
            levels_db: (number | null)[];
            /**
             * Format: double
             * @description The mean level over the points, dB.
             */
            mean_db: number;
            /** @description Lines of equal level: how far from the mean, dB, and pieces from point to point, m. */
            contours: components["schemas"]["BassContour"][];
            /** @description Where the plane is, in words. */
            words: string;
        };
        /** @description A field that is asked for. */
        BassFieldAsked: {
            /** @description The subs; one to eight. */
            subs: components["schemas"]["TriedSub"][];
            /**
             * Format: double
             * @description The frequency, Hz.
             */
            hz: number;
            /**
             * @description The plane; from above when left out.
             * @default plan
             */
            plane?: components["schemas"]["BassPlane"];
        };
        /** @description What one sub's place, or a whole arrangement, takes of wire, sockets, time and money. */
        BassFitting: {
            /**
             * Format: double
             * @description New wire, slack and loops included, m.
             */
            wire_m: number;
            /**
             * Format: uint32
             * @description Holes to drill, at most.
             */
            holes: number;
            /**
             * Format: double
             * @description The crew's time, s.
             */
            time_s: number;
            /**
             * Format: double
             * @description Hours, wire and new sockets, in the job's money; none where the job lacks a price of them.
             */
            money: number | null;
            /**
             * Format: uint32
             * @description Mains sockets that a licensed electrician adds.
             */
            sockets: number;
            /** @description All of it in a sentence, without its full stop. */
            says: string;
        };
        /** @description What tried subs do at the seats. */
        BassHeard: {
            /** @description The frequencies of the curves, Hz. */
            frequencies_hz: number[];
            /** @description Seats by id, in the curves' order. */
            seats: string[];
            /** @description What they come to. */
            arrangement: components["schemas"]["BassArrangement"];
        };
        /** @description The loudest in a third octave. */
        BassLoudest: {
            /**
             * Format: double
             * @description The band's name, Hz.
             */
            hz: number;
            /**
             * Format: double
             * @description The mean over the seats at the band's weakest line, dB.
             */
            level_db: number;
        };
        /** @description A place where a sub may stand. */
        BassPlace: {
            /** @description The middle of the case, m. */
            at: [
                number,
                number,
                number
            ];
            /** @description What places like it are called. */
            kind: string;
            /** @description Where it is. */
            words: string;
            /** @description What sort of place it is. */
            sort: string;
            /**
             * Format: double
             * @description How far seats differ with one sub there, dB.
             */
            spread_db: number;
            /**
             * Format: double
             * @description From 0, the best place for one sub, to 1, the worst.
             */
            rank: number;
            /** @description All of it in a sentence. */
            says: string;
        };
        /** @description What is drawn of a field. */
        BassPlane: "plan" | "along" | "across";
        /** @description A change of the job that puts subs where an arrangement has them, set as it says. */
        BassPut: {
            /** @description Facts set or taken away, made first. */
            edits: components["schemas"]["Edit"][];
            /** @description Subs moved. */
            moves: components["schemas"]["Move"][];
            /** @description What is done, for the history. */
            says: string;
        };
        /** @description The seats moved together along their look. */
        BassRow: {
            /**
             * Format: double
             * @description Forward, m; negative is back.
             */
            forward_m: number;
            /**
             * Format: double
             * @description How far seats differ there, dB.
             */
            spread_db: number;
            /**
             * Format: double
             * @description How far that may be off, 95 %, dB: absorption is known within a factor of two.
             */
            spread_off_db: number;
            /** @description Whether it is better than where they are in all the rooms that it may be. */
            is_better: boolean;
            /**
             * Format: double
             * @description What the search makes least, dB².
             */
            cost: number;
            /** @description All of it in a sentence. */
            says: string;
        };
        /** @description A seat of a bass study. */
        BassSeat: {
            /** @description Its id. */
            id: string;
            /** @description Its name for people. */
            label: string;
        };
        /** @description How far a space's bass is. */
        BassSolved: "impossible" | "unsolved" | "stale" | "solved";
        /** @description What is known of a space's bass. */
        BassState: {
            /** @description The space's id. */
            space: string;
            /** @description Its name for people. */
            label: string;
            /** @description How far it is. */
            state: components["schemas"]["BassSolved"];
            /** @description The same in a sentence. */
            says: string;
            /** @description What was found; none unless it is solved. */
            study: components["schemas"]["BassStudy"] | null;
        };
        /** @description A space's bass, from the subs as planned and from the best places there are. */
        BassStudy: {
            /** @description The space's id. */
            space: string;
            /** @description Its name for people. */
            label: string;
            /**
             * Format: double
             * @description Responses hold up to here, Hz.
             */
            holds_up_to_hz: number;
            /** @description What was assumed and left out, in sentences. */
            assumed: string[];
            /** @description What to mind when it is tried, in sentences. */
            cautions: string[];
            /** @description Seats in the order of all tables. */
            seats: components["schemas"]["BassSeat"][];
            /** @description The frequencies of all tables, Hz. */
            frequencies_hz: number[];
            /** @description The room's resonances, lowest first. */
            resonances: components["schemas"]["Resonance"][];
            /** @description Where resonances leave a gap or fall on each other, in sentences; empty where they are spread. */
            spacing: string[];
            /** @description How long each third octave rings, with the planned subs, or the best for one. */
            decays: components["schemas"]["BassDecay"][];
            /** @description How the same subs are set against the mains; none without mains in the room. */
            timed: components["schemas"]["BassTimed"] | null;
            /** @description What moving all seats would do to the same subs; empty where it must be compared again. */
            rows: components["schemas"]["BassRow"][];
            /** @description What treatment and open doors would do to the same subs; empty where it must be compared again. */
            treated: components["schemas"]["BassTreated"][];
            /** @description The subs as planned; none without a placed sub. */
            planned: components["schemas"]["BassArrangement"] | null;
            /** @description The best for one sub, two, and so on. */
            best: components["schemas"]["BassBest"][];
            /** @description Every place where a sub may stand, and what one there would come to. */
            places: components["schemas"]["BassPlace"][];
        };
        /** @description A sub of an arrangement. */
        BassSub: {
            /** @description Where it is. */
            words: string;
            /** @description What places like it are called. */
            kind: string;
            /** @description The middle of its case, m. */
            at: [
                number,
                number,
                number
            ];
            /**
             * Format: double
             * @description Gain against the loudest, dB.
             */
            gain_db: number;
            /**
             * Format: double
             * @description Delay, s.
             */
            delay_s: number;
            /** @description Whether its polarity is turned. */
            inverted: boolean;
            /** @description What is set on it, in words. */
            set: string;
            /** @description What wire, socket, time and money it takes there. */
            fitting: components["schemas"]["BassFitting"] | null;
        };
        /** @description How all subs together are set against the mains. */
        BassTimed: {
            /**
             * Format: double
             * @description Where they part, Hz.
             */
            crossover_hz: number;
            /** @description The mains. */
            mains: string[];
            /**
             * Format: double
             * @description Added to every sub, s; negative is added to the mains.
             */
            delay_s: number;
            /** @description Whether every sub's polarity is turned once more. */
            inverted: boolean;
            /** @description What is lost at each seat round the crossover, dB; 0 where both are in step. */
            losses_db: number[];
            /** @description All of it in a sentence. */
            says: string;
        };
        /** @description A change of the room, and what it does. */
        BassTreated: {
            /**
             * Format: double
             * @description How much less the seats differ, dB; negative is more.
             */
            evener_db: number;
            /**
             * Format: double
             * @description The longest resonance before, s.
             */
            longest_before_s: number;
            /**
             * Format: double
             * @description The longest resonance then, s.
             */
            longest_after_s: number;
            /** @description All of it in a sentence. */
            says: string;
        };
        /** @description Subs that are tried. */
        BassTried: {
            /** @description The subs; one to eight. */
            subs: components["schemas"]["TriedSub"][];
        };
        /** @description A projector's light. */
        Beam: {
            /** @description The projector's body. */
            item: string;
            /** @description The middle of the front lens. */
            lens: [
                number,
                number,
                number
            ];
            /**
             * @description The picture's corners as a viewer sees them: upper left, upper right, lower right,
             *     lower left.
             */
            corners: [
                number,
                number,
                number
            ][];
            /** @description What darkens the picture. */
            shadows: components["schemas"]["BeamShadow"][];
        };
        /** @description A shadow on a picture. */
        BeamShadow: {
            /** @description Bodies whose shadow it is; none where it is of nothing that is drawn. */
            of: string[];
            /** @description Whose, and how much of the picture: "somebody standing at seat left: shadow on 3 %". */
            says: string;
            /** @description Whether it is there at times alone, as of somebody who stands up. */
            passing: boolean;
            /** @description Its corners on the picture. */
            outline: [
                number,
                number,
                number
            ][];
        };
        /** @description Work that was begun. */
        Begun: {
            /** @description Its key: `/api/solves/{key}/events` tells how far it is. */
            key: string;
        };
        /** @description A fact that is still blank. */
        Blank: {
            /** @description What to measure. */
            what: string;
            /** @description Where it belongs in the document. */
            at: string;
            /** @description How to get it. */
            tool: string;
            /**
             * Format: uint
             * @description How many findings it decides.
             */
            decides: number;
            /** @description Their keys. */
            findings: string[];
        };
        /** @description A row of blocks between studs. */
        Block: {
            /**
             * Format: double
             * @description Its middle above the floor.
             */
            height_m: number;
            /**
             * Format: double
             * @description Its left end from the wall's left corner.
             */
            from_m: number;
            /**
             * Format: double
             * @description Its right end.
             */
            to_m: number;
        };
        /** @description Something in a space. */
        Body: {
            /** @description Unique within the scene: `item:tv`, `fixture:lamp`, `opening:door`, `seat:sofa-left`. */
            id: string;
            /** @description Its path in the document. */
            at: string;
            /** @description Which of the four it is. */
            kind: components["schemas"]["BodyKind"];
            /** @description What it is: `projector`, `screen`, `socket`, `door` and so on. */
            is: string;
            /** @description Its name for people. */
            label: string;
            /** @description Name and place in one phrase: "Left lamp, 1.20 m from left, 2.05 m high". */
            says: string;
            /** @description Whether it was in the house before the crew came. */
            existing: boolean;
            /** @description What carries it. */
            place: components["schemas"]["BodyPlace"];
            /** @description The wall that it is on. */
            wall: string | null;
            /** @description Its rectangle on that wall. */
            on_wall: components["schemas"]["OnWall"] | null;
            /** @description Its outline in plan. */
            outline: [
                number,
                number
            ][] | null;
            /** @description Its middle in plan: what a move in plan is told by. */
            centre: [
                number,
                number
            ] | null;
            /**
             * Format: double
             * @description Its underside above the floor.
             */
            bottom_m: number | null;
            /**
             * Format: double
             * @description Its upper side above the floor.
             */
            top_m: number | null;
            /** @description The surface on which it can be dragged; null where it can't. */
            moves: components["schemas"]["Surface"] | null;
            /** @description A door's leaf. */
            doors: components["schemas"]["Doors"] | null;
            /** @description The direction in which it throws light or sound, or looks: of length 1. */
            aim: [
                number,
                number,
                number
            ] | null;
            /** @description Its facts. */
            fields: components["schemas"]["Field"][];
            /** @description What must be known before it can be drawn. */
            missing: string | null;
        };
        /** @description Kinds of body. */
        BodyKind: "item" | "fixture" | "opening" | "seat";
        /** @description What carries a body. */
        BodyPlace: "wall" | "floor" | "ceiling" | "inside" | "none";
        /** @description A box in plan. */
        Bounds: {
            /** @description Least x and y. */
            min: [
                number,
                number
            ];
            /** @description Greatest x and y. */
            max: [
                number,
                number
            ];
        };
        /** @description What one button does. */
        ButtonDoes: {
            /** @description The activity. */
            activity: components["schemas"]["Named"];
            /** @description The zones that play. */
            zones: string[];
            /** @description What must be decided first. */
            missing: string | null;
            /** @description The picture's way, a phrase a step; empty where nothing is watched. */
            picture: string[];
            /** @description The sound's way. */
            sound: string[];
            /** @description What is set, in this order. */
            steps: components["schemas"]["ButtonStep"][];
            /** @description Other activities that can't be had at the same time, each with why. */
            not_with: string[];
        };
        /** @description One thing that a button sets. */
        ButtonStep: {
            /** @description The thing. */
            thing: components["schemas"]["Named"];
            /** @description Whether it is switched on; off else. */
            is_on: boolean;
            /** @description The input that it is set to; null for a source. */
            input: string | null;
            /** @description How it is reached; null where nothing reaches it. */
            by: string | null;
        };
        /** @description A cable's way through the space. */
        CableRoute: {
            /** @description The cable's label in the document. */
            cable: string;
            /** @description Label, kind and length to cut. */
            label: string;
            /** @description Whether it is in the house already. */
            existing: boolean;
            /** @description From end to end. */
            path: [
                number,
                number,
                number
            ][];
        };
        /** @description One cable's way. */
        CableWay: {
            /** @description The cable's label in the document. */
            cable: string;
            /** @description Its legs in words, each with its length; empty where the way is not known. */
            legs: string[];
            /** @description What is missing where the way is not known. */
            missing: string | null;
            /**
             * Format: double
             * @description Length without slack and loops, m.
             */
            length_m: number | null;
            /**
             * Format: double
             * @description The 95 % interval of the length, m, unknown facts of the construction included.
             */
            tolerance_m: number | null;
            /**
             * Format: double
             * @description Length to cut, m; none where it comes ready-made or lies there already.
             */
            cut_m: number | null;
            /** @description Holes at least and at most. */
            holes: [
                number,
                number
            ] | null;
            /** @description Time at least and at most, s. */
            time_s: [
                number,
                number
            ] | null;
            /** @description Holes, time and what is not known, in words. */
            work_text: string | null;
            /** @description Unknown facts that it rests on. */
            doubts: string[];
            /** @description What it keeps out of because somebody chose so, in words. */
            keeps_out_of: string[];
            /** @description Single parts of the house that it goes round because somebody chose so, in words. */
            goes_round: string[];
            /** @description What lets it take the cheapest way again, where it keeps out of something or goes round it. */
            back: components["schemas"]["Edit"][];
            /** @description The best way of another kind. */
            other: components["schemas"]["OtherWay"] | null;
            /** @description What the dearest hole costs, and going round it. */
            dear_text: string | null;
            /** @description The way round that hole alone, where it is not the other way. */
            round: components["schemas"]["OtherWay"] | null;
            /** @description What may be done with the old cable that it takes over, the cheapest first. */
            existing: components["schemas"]["ExistingWay"][];
            /** @description Where it runs, space by space, m. */
            path: components["schemas"]["WayPiece"][];
        };
        /** @description A column of a table. */
        CatalogueColumn: {
            /**
             * Format: uint
             * @description From 0.
             */
            index: number;
            /** @description Its head. */
            head: string;
            /** @description The fact that it seems to hold. */
            fact: string | null;
            /** @description The unit of its bare numbers. */
            unit: string | null;
            /** @description The unit stands neither in the head nor in the cells. */
            guessed: boolean;
            /** @description Its first cells. */
            sample: string[];
        };
        /** @description An entry. */
        CatalogueEntry: {
            /** @description Its id. */
            id: string;
            /** @description Its name; the id when it has none. */
            name: string;
            /** @description What its spec sheet says, as a job file writes it. */
            facts: {
                [key: string]: unknown;
            };
            /** @description When it was last changed, RFC 3339. */
            changed: string;
        };
        /** @description A fact that an entry may have. */
        CatalogueFact: {
            /** @description Its path in the entry. */
            path: string;
            /** @description Its name for people. */
            label: string;
            /** @description What it is. */
            help: string;
        };
        /** @description A kind of kit and its entries. */
        CatalogueKind: {
            /** @description The word after `kit.` in a job file. */
            kind: string;
            /** @description Its entries. */
            entries: components["schemas"]["CatalogueEntry"][];
            /** @description What an entry of it may say, in the order of a spec sheet. */
            facts: components["schemas"]["CatalogueFact"][];
        };
        /** @description A table that was read, and what its columns seem to hold. */
        CatalogueRead: {
            /** @description Under which it can be imported for a while. */
            key: string;
            /** @description The file's name. */
            name: string;
            /** @description The sheets of a workbook. */
            sheets: string[];
            /** @description Its columns. */
            columns: components["schemas"]["CatalogueColumn"][];
            /**
             * Format: uint
             * @description How many rows stand below the head.
             */
            rows: number;
        };
        /** @description What came of a table. */
        CatalogueReport: {
            /**
             * Format: uint
             * @description Rows that are entries now.
             */
            accepted: number;
            /**
             * Format: uint
             * @description Of those, how many took the place of an entry with the same id.
             */
            replaced: number;
            /** @description Rows that are none, and why. */
            rejected: components["schemas"]["Rejected"][];
        };
        /** @description A finding whose verdict a remedy changes. */
        Change: {
            /** @description The check's id. */
            check: string;
            /** @description What it is about. */
            subject: string;
            /** @description Without the remedy; null when the finding appears with it. */
            from: components["schemas"]["Verdict"] | null;
            /** @description With the remedy; null when the finding goes. */
            to: components["schemas"]["Verdict"] | null;
            /**
             * Format: double
             * @description The margin without the remedy, in the finding's unit; null where there is none.
             */
            from_margin: number | null;
            /**
             * Format: double
             * @description The margin with it.
             */
            to_margin: number | null;
        };
        /** @description A change to be shown, not saved. */
        Changed: {
            /**
             * Format: uint64
             * @description The revision that the client shows.
             */
            base: number;
            /**
             * @description Facts set or taken away.
             * @default []
             */
            edits?: components["schemas"]["Edit"][];
            /**
             * @description Bodies dragged elsewhere; made after the edits.
             * @default []
             */
            moves?: components["schemas"]["Move"][];
        };
        /** @description A check in the list of checks. */
        CheckLine: {
            /** @description Its id. */
            id: string;
            /** @description Its area. */
            area: string;
            /** @description What is true of a job that fits. */
            proves: string;
        };
        /** @description One answer of several. */
        Choice: {
            /** @description What is written. */
            value: string;
            /** @description What is shown. */
            label: string;
        };
        /** @description What a column holds. */
        Chosen: {
            /**
             * Format: uint
             * @description The column, from 0.
             */
            index: number;
            /**
             * @description The fact's path; nothing leaves the column out.
             * @default null
             */
            fact?: string | null;
            /**
             * @description The unit of its bare numbers.
             * @default null
             */
            unit?: string | null;
        };
        /** @description A mains circuit and its load. */
        CircuitLoad: {
            /** @description The circuit. */
            circuit: components["schemas"]["Named"];
            /** @description What is on it, what was there already first. */
            parts: components["schemas"]["CircuitLoadPart"][];
            /**
             * Format: double
             * @description All that is known to be on it, W.
             */
            load_w: number;
            /**
             * Format: double
             * @description What it may carry for hours, W; null where breaker or mains are not known.
             */
            most_w: number | null;
            /** @description Load and limit in words. */
            load_text: string;
            /** @description What is not known. */
            missing: string | null;
        };
        /** @description A part of a circuit's load. */
        CircuitLoadPart: {
            /** @description The thing; null for what was there already. */
            thing: components["schemas"]["Named"] | null;
            /** @description Its name. */
            label: string;
            /**
             * Format: double
             * @description Its power, W; null where no sheet states it.
             */
            watts: number | null;
            /** @description The same in words. */
            watts_text: string;
        };
        /** @description How well the walls close. */
        Closes: {
            /** @description Whether what is left open is explained by chance. */
            closed: boolean;
            /** @description How far the end of the walk misses its beginning, as measured. */
            misclosure_text: string;
            /** @description By how much it may, if each measurement is as good as it says: 95 %. */
            limit_text: string;
            /** @description Both in one sentence. */
            says: string;
            /**
             * @description The corners, as a diagonal is written between them, whose distance would tell which of
             *     the suspects is mistaken; null where nothing is to be told apart.
             */
            decide_with: [
                string,
                string
            ] | null;
            /** @description Measurements that would explain it if mistaken, likeliest first. */
            suspects: components["schemas"]["WalkSuspect"][];
        };
        /** @description What differs between two jobs. */
        Comparison: {
            /** @description Facts, in the order of the document. */
            facts: components["schemas"]["FactChange"][];
            /**
             * @description Findings whose verdict differs, or that are on one side only: worst first as they
             *     are afterwards.
             */
            findings: components["schemas"]["FindingChange"][];
        };
        /** @description A conduit. */
        Conduit: {
            /** @description Its id among the pathways. */
            id: string;
            /** @description Its name. */
            label: string;
            /**
             * Format: double
             * @description Inside diameter, m.
             */
            inside_m: number | null;
            /** @description Its cables. */
            cables: components["schemas"]["ConduitCable"][];
            /** @description How full it is and may be, jam ratio, what is not known: a line each. */
            words: string[];
        };
        /** @description A cable of a conduit. */
        ConduitCable: {
            /** @description The cable's label in the document. */
            id: string;
            /** @description Its kind, by name. */
            kind: string;
            /**
             * Format: double
             * @description Outside diameter, m.
             */
            outside_m: number | null;
            /** @description Its middle from the conduit's, across and up, m; null where no place was found for all. */
            centre_m: [
                number,
                number
            ] | null;
        };
        /** @description A job's conduits. */
        Conduits: {
            /** @description Each that has a cable, in the order of the document. */
            conduits: components["schemas"]["Conduit"][];
        };
        /** @description A loudspeaker's coverage. */
        Cone: {
            /** @description The loudspeaker's body. */
            item: string;
            /** @description Where it sounds from. */
            apex: [
                number,
                number,
                number
            ];
            /** @description Its direction, of length 1. */
            axis: [
                number,
                number,
                number
            ];
            /**
             * Format: double
             * @description Between its axis and the directions that are 6 dB down.
             */
            half_angle_rad: number;
            /**
             * Format: double
             * @description To the farthest seat.
             */
            reach_m: number;
        };
        /** @description One part of a sheet. */
        Content: (components["schemas"]["SheetTable"] & {
            /** @constant */
            kind: "table";
        }) | {
            /** @constant */
            kind: "text";
            /** @description Above them; may be empty. */
            heading: string;
            /** @description The paragraphs. */
            paragraphs: string[];
        } | {
            /** @constant */
            kind: "list";
            /** @description Above them; may be empty. */
            heading: string;
            /** @description The points. */
            items: string[];
        } | {
            /** @constant */
            kind: "drawing";
            /** @description Its title, scale included. */
            heading: string;
            /** @description Where it is as SVG. */
            svg_url: string;
            /** @description Notes to it. */
            notes: string[];
            /** @description Below it. */
            tables: components["schemas"]["SheetTable"][];
        } | {
            /** @constant */
            kind: "findings";
            /** @description One each. */
            rows: components["schemas"]["SheetFinding"][];
        };
        /** @description A fact that two people set differently. */
        Contested: {
            /** @description Its number within the job. */
            id: string;
            /** @description What the fact is called: "Eye height of seat sofa in Den". */
            title: string;
            /** @description The fact's path. */
            at: string;
            /** @description Why it is contested. */
            what: string;
            /** @description Which of both stands until it is settled. */
            stands: components["schemas"]["Kept"];
            /** @description What was there. */
            earlier: components["schemas"]["Account"];
            /** @description What arrived after it. */
            later: components["schemas"]["Account"];
        };
        /** @description A class of viewing and what it asks for. */
        ContrastClass: {
            /** @description Its name. */
            name: string;
            /**
             * Format: double
             * @description Its least contrast.
             */
            contrast: number;
            /** @description How well that number is backed. */
            backing: string;
        };
        /** @description How many findings have each verdict. */
        Counts: {
            /**
             * Format: uint
             * @description With room to spare.
             */
            fits: number;
            /**
             * Format: uint
             * @description Within uncertainty or comfort.
             */
            tight: number;
            /**
             * Format: uint
             * @description Beyond a limit.
             */
            fails: number;
            /**
             * Format: uint
             * @description Undecided for want of a fact.
             */
            unknown: number;
        };
        /** @description A kind's cut-out. */
        CutOut: {
            /** @description The catalogue entry. */
            kit: string;
            /** @description Its name. */
            name: string;
            /** @description Width and height, m; of a round one its diameter twice. */
            size_m: [
                number,
                number
            ];
            /** @description Round rather than square. */
            is_round: boolean;
            /** @description Its size. */
            size_text: string;
            /** @description How deep it must be behind the board; null where no sheet states it. */
            depth_text: string | null;
            /**
             * Format: uint32
             * @description How many are cut.
             */
            count: number;
            /** @description What they are cut for. */
            things: components["schemas"]["Named"][];
        };
        /** @description A measurement that a tight finding rests on. */
        Decider: {
            /** @description What it is. */
            what: string;
            /** @description Where it stands in the job file. */
            at: string;
            /**
             * Format: double
             * @description Its share of the margin's variance, 0 to 1.
             */
            share: number;
        };
        /** @description How the findings of an edited copy differ. */
        Delta: {
            /** @description Findings that are new or say anything else, without the effects of remedies. */
            changed: components["schemas"]["Finding"][];
            /** @description Keys of findings that are no more. */
            gone: string[];
            /** @description How many findings of the copy have each verdict. */
            counts: components["schemas"]["Counts"];
        };
        /** @description A paired device. */
        Device: {
            id: string;
            name: string;
            role: components["schemas"]["Role"];
            /** @description When it was paired, RFC 3339. */
            since: string;
            /** @description When its session ends by itself, RFC 3339. */
            until: string;
        };
        /** @description The one-line diagram. */
        Diagram: {
            /** @description Its lines and words. */
            drawn: components["schemas"]["Drawn"];
            /** @description What its boxes are. */
            boxes: components["schemas"]["DiagramBox"][];
            /** @description What its lines are. */
            leads: components["schemas"]["DiagramLead"][];
        };
        /** @description A box of the diagram. */
        DiagramBox: {
            /** @description Its id in the drawing. */
            id: string;
            /** @description What stands in it. */
            label: string;
            /** @description What it stands for: a thing, or the loudspeakers of a zone. */
            things: components["schemas"]["Named"][];
        };
        /** @description A line of the diagram. */
        DiagramLead: {
            /** @description Its id in the drawing. */
            id: string;
            /** @description Where its signal comes from and goes to, in words. */
            from: string;
            /** @description Where it goes. */
            to: string;
            /** @description What it carries, in words. */
            carries: string;
            /** @description Its cables. */
            cables: components["schemas"]["Named"][];
        };
        /** @description A channel as a seat hears it. */
        DialChannel: {
            /** @description The loudspeaker. */
            item: string;
            /** @description Its name for people. */
            label: string;
            /**
             * Format: double
             * @description From straight ahead, positive to the left, rad.
             */
            azimuth_rad: number;
            /**
             * Format: double
             * @description Up from the ear, rad.
             */
            up_rad: number;
            /** @description Whether it plays above the listeners. */
            is_overhead: boolean;
            /** @description What is allowed at this seat, from the right end to the left, rad. */
            azimuths_rad: [
                number,
                number
            ] | null;
            /** @description Whether it is heard from where the layout has it, at this seat. */
            is_inside: boolean;
            /** @description Its direction for people. */
            text: string;
        };
        /** @description How high a display can hang. */
        DisplayPlace: {
            /** @description The item's id. */
            item: string;
            /** @description Its name for people. */
            label: string;
            /** @description One sentence on where it can hang. */
            says: string;
            /** @description Heights of its middle at which nothing fails that a height can mend. */
            stretches: components["schemas"]["HeightStretch"][];
            /** @description What fails at every height. */
            always: components["schemas"]["FoundStop"][];
            /** @description The best height and tilt. */
            best: components["schemas"]["FoundChange"] | null;
            /** @description What must be known first. */
            needs: string[];
            /** @description Dangers of hanging it. */
            cautions: string[];
        };
        /** @description Where the displays of a space can hang. */
        DisplayPlaces: {
            /** @description The space's id. */
            space: string;
            /** @description One answer a display. */
            displays: components["schemas"]["DisplayPlace"][];
        };
        /** @description A door's leaf. */
        Doors: {
            /** @description The hinge, then the way of the leaf's edge from shut to open. */
            swing: [
                number,
                number
            ][];
        };
        /** @description A drawing in millimetres of paper, x to the right and y down. */
        Drawn: {
            /** @description Its title. */
            title: string;
            /** @description Width and height, mm. */
            size_mm: [
                number,
                number
            ];
            /**
             * Format: double
             * @description Size of its lettering, mm.
             */
            lettering_mm: number;
            /** @description What is drawn, lowest first. */
            things: components["schemas"]["DrawnThing"][];
            /** @description What is written; its title is left to whoever shows it. */
            texts: components["schemas"]["DrawnText"][];
        };
        /** @description A chain of straight pieces. */
        DrawnLine: {
            /** @description Its points, mm; a closed one ends where it starts. */
            points_mm: [
                number,
                number
            ][];
            /** @description The kind of line: `seen`, `route`, `thin` and so on. */
            pen: string;
            /**
             * Format: double
             * @description Its width, mm.
             */
            width_mm: number;
            /** @description Dash, gap, dash, gap, mm; empty for an unbroken one. */
            dashes_mm: number[];
            /** @description Whether its inside is inked. */
            is_filled: boolean;
        };
        /** @description A line of text. */
        DrawnText: {
            /** @description The point of its base line that `anchor` names, mm. */
            at_mm: [
                number,
                number
            ];
            /** @description Which point that is: `start`, `middle` or `end`. */
            anchor: string;
            /** @description Whether it is bold. */
            is_bold: boolean;
            /** @description The words. */
            text: string;
        };
        /** @description Lines that belong together. */
        DrawnThing: {
            /** @description The id of what they show; empty when it is nobody's. */
            id: string;
            /** @description What somebody who can't see it is told. */
            says: string;
            /** @description The box about it: left, top, width and height, mm. */
            box_mm: [
                number,
                number,
                number,
                number
            ];
            /** @description Its lines. */
            lines: components["schemas"]["DrawnLine"][];
        };
        /** @description One fact set or taken away. */
        Edit: {
            /** @description The fact's path. */
            at: string;
            /** @description What is written there; null takes the fact away. */
            set?: unknown;
        };
        /** @description The job proved again with a remedy applied. */
        Effect: {
            /** @description The finding's own verdict afterwards. */
            verdict: components["schemas"]["Verdict"];
            /** @description Other findings whose verdict improves. */
            better: components["schemas"]["Change"][];
            /** @description Other findings whose verdict gets worse. */
            worse: components["schemas"]["Change"][];
            /** @description Why it can't be applied, if it can't. */
            refused: string | null;
        };
        /** @description The body of every answer that is an error. */
        Error: {
            /** @description What is wrong, with names and numbers. */
            message: string;
            /** @description What to do next; empty when the message says it. */
            hint: string;
            /** @description The document path that it is about. */
            at?: string | null;
            /** @description What was kept although the request was not answered. */
            kept?: string | null;
            /** @description Another request of the same client took this one's place. */
            superseded?: boolean | null;
            /**
             * Format: uint
             * @description The letter of the text that could not be read, from 1.
             */
            column?: number | null;
            /** @description What would be accepted. */
            accepted?: string | null;
            /** @description Everything wrong with a document. */
            problems?: components["schemas"]["Problem"][];
        };
        /** @description A use of an old cable. */
        ExistingWay: {
            /** @description What is done, in words. */
            says: string;
            /** @description New cable at least and at most, m. */
            length_m: [
                number,
                number
            ];
            /** @description Time at least and at most, s. */
            time_s: [
                number,
                number
            ];
            /** @description Holes at least and at most. */
            holes: [
                number,
                number
            ];
            /** @description Holes and time, in words. */
            work_text: string;
            /** @description Why it is not open, in words. */
            not_open: string | null;
        };
        /** @description A fact that differs. */
        FactChange: {
            /** @description Its path in the document. */
            at: string;
            /** @description What it is. */
            what: string;
            /** @description As written before; null where it was blank. */
            before: string | null;
            /** @description As written afterwards; null where it is blank. */
            after: string | null;
        };
        /** @description What a spec sheet says. */
        Facts: {
            /** @description As a job file writes it. */
            facts: {
                [key: string]: unknown;
            };
        };
        /** @description One fact that may be written or left blank. */
        Field: {
            /** @description Its path in the document. */
            at: string;
            /** @description Its name in the trade's words. */
            label: string;
            /** @description What is written there. */
            kind: components["schemas"]["FieldKind"];
            /** @description As written; null while blank. */
            text: string | null;
            /** @description The unit that a bare number means; null where each number needs its unit, or none has one. */
            unit: string | null;
            /** @description What may be chosen; null where anything may be written. */
            choices: components["schemas"]["Choice"][] | null;
            /** @description One sentence on what it is. */
            help: string;
            /**
             * Format: uint
             * @description Findings that wait for it while it is blank.
             */
            blocks: number;
        };
        /**
         * @description What a field holds; all from `length` to `force` are quantities written with their unit.
         * @enum {string}
         */
        FieldKind: "text" | "choice" | "flag" | "number" | "length" | "angle" | "area" | "volume" | "illuminance" | "luminous-flux" | "luminance" | "level" | "power" | "voltage" | "current" | "impedance" | "mass" | "temperature" | "frequency" | "duration" | "ratio" | "data-rate" | "wire-size" | "force";
        /** @description A field's text that reads. */
        FieldRead: {
            /** @description As it will print, in the job's own units; null where it is left blank. */
            text: string | null;
            /**
             * Format: double
             * @description The value in SI; null for what is no quantity, or blank.
             */
            value: number | null;
            /** @description The change that writes it. */
            edit: components["schemas"]["Edit"];
        };
        /** @description What a check found out about one thing. */
        Finding: {
            /** @description `check~space~subject`, the space empty for the whole house: unique in a job. */
            key: string;
            /** @description The check's id. */
            check: string;
            /** @description The trade that it belongs to. */
            area: string;
            /** @description The check's question in short words. */
            title: string;
            /** @description What it is about. */
            subject: components["schemas"]["Subject"];
            /** @description The space's id; null for the whole house. */
            space: string | null;
            /**
             * @description Bodies and soffits of the space's scene that it speaks of; none where it speaks of
             *     the space itself or of the whole house.
             */
            about: string[];
            /**
             * Format: double
             * @description The value, in `unit`; null while unknown.
             */
            value: number | null;
            /**
             * Format: double
             * @description The limit that decided, in `unit`.
             */
            limit: number | null;
            /**
             * @description The SI unit of value, limit, margin and uncertainty; `1` for a ratio. A margin of
             *     temperatures in °C is in K.
             */
            unit: string;
            /**
             * Format: double
             * @description Signed; positive is good.
             */
            margin: number | null;
            /**
             * Format: double
             * @description The margin's expanded uncertainty, 95 %.
             */
            uncertainty: number | null;
            /** @description The value in the job's own units. */
            value_text: string | null;
            /** @description The limit in the job's own units. */
            limit_text: string | null;
            /** @description The margin in the job's own units, always with its sign. */
            margin_text: string | null;
            /** @description The uncertainty in the job's own units, as `±6 mm`; null where it is nothing. */
            uncertainty_text: string | null;
            /** @description What is drawn of margin against uncertainty; null while unknown. */
            bar: components["schemas"]["Bar"] | null;
            /** @description What the margin says. */
            verdict: components["schemas"]["Verdict"];
            /** @description One plain sentence with the numbers, in the job's own units. */
            because: string;
            /** @description Where the limit comes from. */
            source: string;
            /** @description What is missing. */
            needs: components["schemas"]["Need"][];
            /** @description For a tight finding: the measurements that decide it, largest share first. */
            deciders: components["schemas"]["Decider"][];
            /**
             * @description Facts that went in: those that the uncertainty rests on first, largest share first,
             *     then where the things it speaks of are.
             */
            inputs: components["schemas"]["Input"][];
            /** @description What would mend it. */
            remedies: components["schemas"]["Remedy"][];
            /** @description Dangers of the work that it speaks of. */
            cautions: string[];
        };
        /** @description A finding whose verdict differs. */
        FindingChange: {
            /** @description The finding's key. */
            key: string;
            /** @description The check's question in short words. */
            title: string;
            /** @description What it is about. */
            subject: string;
            /** @description Before; null where it was not there. */
            from: components["schemas"]["Verdict"] | null;
            /** @description Afterwards; null where it is not there. */
            to: components["schemas"]["Verdict"] | null;
            /** @description The sentence afterwards; of a finding that went, the one before. */
            because: string;
        };
        /** @description A job proved. */
        Findings: {
            /** @description The job's name. */
            job: string;
            /**
             * Format: uint32
             * @description Counts up with each issue of the sheets; null when the job states none.
             */
            revision: number | null;
            /**
             * @description What was found out, by space and worst first; fewer than counted when some were
             *     selected.
             */
            findings: components["schemas"]["Finding"][];
            /** @description Measurements worth taking before anything is ordered, most decisive first. */
            measure_again: components["schemas"]["MeasureAgain"][];
            /** @description How many findings of the whole job have each verdict. */
            counts: components["schemas"]["Counts"];
            /** @description The same by space, in the job's order; the whole house last. */
            by_space: components["schemas"]["SpaceCounts"][];
            /** @description The same by trade, in the order of a job. */
            by_area: components["schemas"]["AreaCounts"][];
        };
        /** @description A form of table. */
        Form: "csv" | "xlsx";
        /** @description A change to use. */
        FoundChange: {
            /** @description One sentence on what to do. */
            says: string;
            /** @description What does it. */
            edits: components["schemas"]["Edit"][];
        };
        /** @description Where a set puts a loudspeaker. */
        FoundChoice: {
            /** @description The item's id. */
            item: string;
            /** @description The wall's id, or `ceiling`. */
            surface: string;
            /** @description Its middle there, m. */
            at: [
                number,
                number
            ];
            /** @description The same for people. */
            says: string;
        };
        /** @description A straight stretch of a boundary. */
        FoundEdge: {
            /** @description Where it starts. */
            from: [
                number,
                number
            ];
            /** @description Where it ends. */
            to: [
                number,
                number
            ];
            /**
             * Format: uint
             * @description What stops a step over it, by its place in `stops`; null where the region goes on.
             */
            stop: number | null;
        };
        /** @description What a seat loses. */
        FoundLoss: {
            /** @description The seat's id. */
            seat: string;
            /** @description Whether layouts are meant for it. */
            is_main: boolean;
            /**
             * Format: double
             * @description From the printed direction, rad.
             */
            off_rad: number;
            /**
             * Format: double
             * @description Beyond what is allowed at that seat, rad; nothing or less where it is served.
             */
            out_rad: number;
            /** @description Both for people. */
            text: string;
        };
        /** @description A connected part of a region. */
        FoundPart: {
            /**
             * Format: double
             * @description Its area, m².
             */
            area_m2: number;
            /** @description Its edge and the edges of its holes; what is allowed lies on the left. */
            rings: components["schemas"]["FoundEdge"][][];
        };
        /** @description A place to use. */
        FoundPlace: {
            /** @description The case's middle. */
            at: [
                number,
                number
            ];
            /**
             * Format: double
             * @description To the nearest edge, m.
             */
            room_m: number;
            /** @description One sentence on what to do. */
            says: string;
            /** @description The worst that its checks say of it there. */
            verdict: components["schemas"]["Verdict"];
            /** @description The sentence of the check that says so. */
            because: string;
            /** @description What puts it there. */
            edits: components["schemas"]["Edit"][];
        };
        /** @description A set of places. */
        FoundPlan: {
            /** @description What it weighs. */
            title: string;
            /** @description One sentence on what is won and lost. */
            says: string;
            /**
             * Format: double
             * @description What it costs in directions, symmetry and separation, in square degrees.
             */
            objective: number;
            /** @description Whether no better set of the candidates is left. */
            is_proved: boolean;
            /** @description Each loudspeaker's place, for people. */
            places: components["schemas"]["FoundChoice"][];
            /** @description What each seat loses over all channels, for people. */
            seats: string[];
            /**
             * Format: uint
             * @description New holes to cut.
             */
            cuts: number;
            /**
             * Format: uint
             * @description Old plates used.
             */
            reused: number;
            /**
             * Format: double
             * @description New wire, square along the building, m.
             */
            wire_m: number | null;
            /**
             * Format: double
             * @description What pulling it costs by the shop's own times and rates.
             */
            price: number | null;
            /**
             * Format: uint
             * @description Findings of the place checks that fail.
             */
            failing: number;
            /**
             * Format: uint
             * @description Findings that are tight.
             */
            tight: number;
            /** @description What makes it so; nothing for the layout as it is planned. */
            edits: components["schemas"]["Edit"][];
        };
        /** @description A loudspeaker's place to use. */
        FoundSpot: {
            /** @description The wall's id, or `ceiling`. */
            surface: string;
            /** @description Its middle there, m. */
            at: [
                number,
                number
            ];
            /** @description Whether every seat is served. */
            is_allowed: boolean;
            /** @description One sentence on where that is. */
            says: string;
            /** @description What each seat loses. */
            seats: components["schemas"]["FoundLoss"][];
            /** @description The worst that its checks say of it there. */
            verdict: components["schemas"]["Verdict"];
            /** @description The sentence of the check that says so. */
            because: string;
            /** @description What puts it there. */
            edits: components["schemas"]["Edit"][];
        };
        /** @description What stops a thing. */
        FoundStop: {
            /** @description The check that refuses a step further. */
            check: string;
            /** @description A few words on it. */
            label: string;
        };
        /** @description How a screen's gain falls off to the sides. */
        GainByAngle: {
            /**
             * Format: double
             * @description The angle at which half of it is left, rad; null where the sheet is silent and the
             *     cloth is taken to shine alike all round.
             */
            half_rad: number | null;
            /**
             * Format: double
             * @description Beyond this angle the curve is not known well, rad.
             */
            reliable_rad: number | null;
            /** @description Angle, rad, and gain there, from straight ahead outwards. */
            points: [
                number,
                number
            ][];
        };
        /** @description Heights at which nothing fails. */
        HeightStretch: {
            /**
             * Format: double
             * @description The lowest, m.
             */
            low_m: number;
            /**
             * Format: double
             * @description The highest, m.
             */
            high_m: number;
            /** @description Both for people. */
            text: string;
            /** @description What stops it below; null at the end of what was tried. */
            below: components["schemas"]["FoundStop"] | null;
            /** @description What stops it above. */
            above: components["schemas"]["FoundStop"] | null;
        };
        /** @description From when on something holds until midnight. */
        HoldsFrom: {
            /**
             * Format: uint16
             * @description Minutes after midnight; 0 for all day, null where not even midnight is dark enough.
             */
            minute: number | null;
            /** @description The same in words: `20:52`, `all day`, `not that day`. */
            text: string;
        };
        /** @description One hour. */
        HourOfLight: {
            /**
             * Format: double
             * @description Light on the picture under a clear sky, lx.
             */
            clear_lux: number;
            /**
             * Format: double
             * @description Under an overcast one, lx.
             */
            overcast_lux: number;
            /**
             * Format: double
             * @description Contrast under the brighter of both.
             */
            contrast: number;
            /** @description The same as printed, three letters at most. */
            contrast_text: string;
            /**
             * Format: uint
             * @description How many of the classes it reaches, 0 for none.
             */
            classes: number;
            /** @description Whether the sun shines on the picture itself. */
            sun_on_picture: boolean;
        };
        /** @description A limit that a house may change, and what is judged by it. */
        HouseLimit: {
            /** @description The key under `[rules]`. */
            name: string;
            /** @description What it limits. */
            meaning: string;
            /** @description Its customary value, in metric and imperial units. */
            text: string;
            /** @description Where that comes from. */
            source: string;
            /** @description What else is customary where a job says so: region and value. */
            regional: [
                string,
                string
            ][];
            /** @description The area of the first check that it is read by. */
            area: string;
            /** @description The checks that read it, by id. */
            checks: string[];
        };
        /** @description How a table's rows become entries. */
        Import: {
            /** @description The table's, as it was read. */
            key: string;
            /** @description What its rows are. */
            kind: string;
            /** @description What its columns hold; one that is left out holds nothing. */
            columns: components["schemas"]["Chosen"][];
        };
        /** @description A fact that a finding rests on. */
        Input: {
            /** @description What it is. */
            what: string;
            /** @description Where it stands, or belongs, in the document. */
            at: string;
            /** @description As written; null for what nobody measured and is taken for granted. */
            text: string | null;
            /** @description How it is known: `laser`, `tape`, `chosen`, `spec sheet`, `assumed` and so on. */
            how: string;
            /**
             * Format: double
             * @description Its share of the margin's variance, 0 to 1; null where it has none.
             */
            share: number | null;
        };
        /** @description A job in the list. */
        JobCard: {
            /** @description Its id. */
            id: string;
            /** @description Its name. */
            name: string;
            /** @description For whom. */
            customer: string | null;
            /**
             * Format: uint64
             * @description Its last revision.
             */
            revision: number;
            /** @description When that was saved, RFC 3339. */
            changed: string;
            /** @description By whom. */
            by: string;
            /** @description Its findings; null when this version of the program can't read it. */
            counts: components["schemas"]["Counts"] | null;
            /** @description What is next. */
            next: components["schemas"]["Moment"] | null;
            /**
             * Format: uint
             * @description How many spaces it has.
             */
            spaces: number;
            /** @description That it was put away, if it was. */
            removed: components["schemas"]["Removed"] | null;
        };
        /** @description One job. */
        JobView: {
            /** @description Its id. */
            id: string;
            /** @description Its name. */
            name: string;
            /** @description For whom. */
            customer: string | null;
            /** @description How results are printed. */
            units: components["schemas"]["Units"];
            /**
             * Format: uint64
             * @description Its last revision.
             */
            revision: number;
            /** @description That revision's name, if somebody gave it one. */
            named: string | null;
            /** @description The whole document. */
            document: unknown;
            /** @description Its spaces, in order. */
            spaces: components["schemas"]["SpaceLine"][];
            /** @description Its findings. */
            counts: components["schemas"]["Counts"];
            /** @description The same for each space; null for the house. */
            by_space: components["schemas"]["SpaceCounts"][];
            /** @description Where each open finding is settled. */
            by_moment: components["schemas"]["OpenAt"][];
            /** @description What two people set differently, to be settled. */
            contested: components["schemas"]["Contested"][];
            /** @description What undo takes back. */
            undo: string | null;
            /** @description What redo makes again. */
            redo: string | null;
            /** @description Kinds of kit that it uses. */
            kinds: string[];
        };
        /** @description A joist's middle. */
        Joist: {
            /** @description One end. */
            from: [
                number,
                number
            ];
            /** @description The other end. */
            to: [
                number,
                number
            ];
        };
        /** @description One of two people's values. */
        Kept: "earlier" | "later";
        /** @description How large a picture can be where its middle is. */
        LargestPicture: {
            /** @description The item's id. */
            item: string;
            /** @description Its name for people. */
            label: string;
            /** @description One sentence on the largest size. */
            says: string;
            /**
             * Format: double
             * @description The largest width at which nothing fails that a width can mend, m.
             */
            largest_m: number | null;
            /** @description What stops it from being larger, nearest first. */
            stops: components["schemas"]["SizeStop"][];
            /** @description What is too small at the largest width. */
            too_small: components["schemas"]["FoundStop"][];
            /** @description What fails at every width. */
            always: components["schemas"]["FoundStop"][];
            /** @description What orders the largest that fits with all uncertainty, and its size for people. */
            order: components["schemas"]["FoundChange"] | null;
            /** @description What must be known first. */
            needs: string[];
            /** @description Dangers of hanging it. */
            cautions: string[];
        };
        /** @description How large the pictures of a space can be. */
        LargestPictures: {
            /** @description The space's id. */
            space: string;
            /** @description One answer a screen or display. */
            pictures: components["schemas"]["LargestPicture"][];
        };
        /** @description Where the loudspeakers of a space's layouts should go together. */
        LayoutPlaces: {
            /** @description The space's id. */
            space: string;
            /** @description One list a zone with a layout. */
            zones: components["schemas"]["ZonePlaces"][];
        };
        /** @description The light on a space's projected pictures. */
        Light: {
            /** @description The space. */
            space: string;
            /** @description Its name for people. */
            name: string;
            /** @description Each projected picture; none where nothing projects. */
            pictures: components["schemas"]["PictureLight"][];
        };
        /** @description What stops a loudspeaker at a place of a wall, the ceiling or the floor. */
        LoudspeakerAt: {
            /** @description The item's id. */
            item: string;
            /** @description The wall's id, `ceiling` or `floor`. */
            surface: string;
            /** @description The place asked about, m. */
            at: [
                number,
                number
            ];
            /** @description Whether nothing bars it there. */
            is_allowed: boolean;
            /** @description One sentence on what stops it there, or how far the next stop is. */
            says: string;
            /** @description All that bars it there. */
            stops: components["schemas"]["FoundStop"][];
            /** @description That place where it is allowed, else the nearest one that is. */
            spot: components["schemas"]["FoundSpot"] | null;
        };
        /** @description What is allowed on a wall or the ceiling. */
        LoudspeakerPatch: {
            /** @description The wall's id, or `ceiling`. */
            surface: string;
            /** @description Whether places are in plan; on a wall they are from its left corner and above the floor. */
            is_ceiling: boolean;
            /** @description Whether it is the floor, where places are in plan as well. */
            is_floor: boolean;
            /** @description The surface's corners, m. */
            outline: [
                number,
                number
            ][];
            /** @description Half of the outside of what is placed, m. */
            half_m: [
                number,
                number
            ];
            /**
             * Format: double
             * @description All of it, m².
             */
            area_m2: number;
            /** @description Connected parts, the largest first. */
            parts: components["schemas"]["FoundPart"][];
        };
        /** @description Where a loudspeaker can go. */
        LoudspeakerPlace: {
            /** @description The item's id. */
            item: string;
            /** @description Its name for people. */
            label: string;
            /** @description The layout's own label of its channel. */
            channel: string;
            /** @description One sentence on where it can go. */
            says: string;
            /** @description Each wall or the ceiling, with what is allowed there. */
            patches: components["schemas"]["LoudspeakerPatch"][];
            /** @description What stops it at the edges, by the number that an edge carries. */
            stops: components["schemas"]["FoundStop"][];
            /** @description Where it can go nowhere: what stops it, each alone. */
            stopped_by: components["schemas"]["FoundStop"][];
            /**
             * @description The allowed place nearest to the printed direction over all seats; where nothing is
             *     allowed, the place whose worst seat loses least.
             */
            spot: components["schemas"]["FoundSpot"] | null;
            /** @description The surface that it is on now. */
            present_surface: string | null;
            /** @description Its middle there, m. */
            present: [
                number,
                number
            ] | null;
            /** @description What must be known before a check says anything: nothing is kept off for it. */
            needs: string[];
            /** @description What to beware of in putting it there. */
            cautions: string[];
        };
        /** @description Where the loudspeakers of a space can go. */
        LoudspeakerPlaces: {
            /** @description The space's id. */
            space: string;
            /** @description One answer a loudspeaker of a zone with a layout. */
            loudspeakers: components["schemas"]["LoudspeakerPlace"][];
        };
        /** @description A check's manual. */
        Manual: {
            /** @description The check's id. */
            id: string;
            /** @description The trade that it belongs to. */
            area: string;
            /** @description The check's question in short words. */
            title: string;
            /** @description What holds when it fits. */
            proves: string;
            /** @description What goes wrong otherwise, and who notices. */
            matters: string;
            /** @description The formula, its symbols and where it is valid. */
            formula: string;
            /** @description Where formula and judgement come from. */
            source: components["schemas"]["Sourced"];
            /** @description What a crew usually does about it. */
            when_it_fails: string;
            /** @description Values from outside the project, and the program's own answers. */
            published: components["schemas"]["PublishedValue"][];
            /** @description Limits that a job may change. */
            limits: components["schemas"]["ManualLimit"][];
        };
        /** @description A limit that a job may change. */
        ManualLimit: {
            /** @description The key under `[rules]`. */
            name: string;
            /** @description What it limits. */
            meaning: string;
            /** @description Its customary value, in metric and imperial units. */
            text: string;
            /** @description Where that comes from. */
            source: string;
        };
        /** @description Who asks. */
        Me: {
            /** @description Null for a device that is not paired. */
            role: components["schemas"]["Role"] | null;
            /** @description The device's name, as history shows it. */
            device: string;
            /** @description On the machine that the program runs on. */
            here: boolean;
            /** @description Other devices may be let in. */
            shared: boolean;
            /** @description The connection is encrypted. */
            secure: boolean;
            /** @description The program's version. */
            version: string;
        };
        /** @description A measurement worth taking, or taking again. */
        MeasureAgain: {
            /** @description What to measure. */
            what: string;
            /** @description Where it stands, or belongs, in the job file. */
            at: string;
            /** @description What to take it with. */
            tool: string;
            /** @description Nobody has taken it yet. */
            blank: boolean;
            /** @description Findings that it would settle. */
            settles: components["schemas"]["Settled"][];
        };
        /** @description The moments of a job, in the order in which they happen. */
        Moment: "walk" | "fit" | "quote" | "load" | "day" | "tune" | "handover" | "return";
        /** @description One month's day. */
        MonthLight: {
            /** @description The month. */
            name: string;
            /** @description Each full hour of the clock on the wall; null where the clock skips it. */
            hours: (components["schemas"]["HourOfLight"] | null)[];
            /** @description From when on each class holds until midnight, in the classes' order. */
            from: components["schemas"]["HoldsFrom"][];
        };
        Move: ({
            /** @description The wall's name. */
            wall: string;
            /**
             * Format: double
             * @description From the wall's left corner, seen from inside, m.
             */
            along_m: number;
            /**
             * Format: double
             * @description Above the floor, m.
             */
            height_m: number;
        } | {
            /**
             * Format: double
             * @description Along the first wall, m.
             */
            x: number;
            /**
             * Format: double
             * @description Square to that, m.
             */
            y: number;
            /**
             * Format: double
             * @description Above the floor, m; as it is when left out.
             * @default null
             */
            height_m?: number | null;
        }) & {
            /** @description The body's id in its scene. */
            of: string;
            /**
             * @description The space whose scene it is; may be left out for items, and where the id is of one
             *     space only.
             * @default null
             */
            space?: string | null;
        };
        /** @description A revision's name. */
        Name: {
            /** @description Such as "as quoted"; empty takes it away. */
            name: string;
        };
        /** @description Something that a drawing or a list names, and where to look for it. */
        Named: {
            /** @description Its id in the document. */
            id: string;
            /** @description Its name. */
            label: string;
            /** @description The space that it is in; null where it is in none. */
            space: string | null;
            /** @description The worst verdict about it; null where nothing is said of it. */
            verdict: components["schemas"]["Verdict"] | null;
            /** @description The key of the finding with that verdict. */
            finding: string | null;
        };
        /** @description A fact that is missing. */
        Need: {
            /** @description What it is. */
            what: string;
            /** @description Where it belongs in the job file. */
            at: string;
            /** @description How to get it. */
            tool: string;
        };
        /** @description A job that was begun. */
        NewId: {
            /** @description Its id. */
            id: string;
        };
        /** @description What a job begins from. */
        NewJob: {
            /** @constant */
            from: "demo";
        } | {
            /** @constant */
            from: "blank";
            /** @description The job's name. */
            name: string;
            /** @description The room's name. */
            room: string;
            /** @description Its walls' lengths in walk order, as typed; an empty one is still to be measured. */
            lengths: [
                string,
                string,
                string,
                string
            ];
            /**
             * @description Its height, as typed.
             * @default null
             */
            height?: string | null;
            /** @description How results are printed. */
            units: components["schemas"]["Units"];
        } | {
            /** @constant */
            from: "text";
            /** @description The document. */
            text: string;
            /**
             * @description The job's name, when it is to have another.
             * @default null
             */
            name?: string | null;
        };
        /** @description A thing on the network. */
        OnNetwork: {
            /** @description The thing. */
            thing: components["schemas"]["Named"];
            /** @description Its address; null where the site states no range, or the range is used up. */
            address: string | null;
            /**
             * Format: uint
             * @description Network cables that end at it.
             */
            cables: number;
        };
        /** @description A rectangle on a wall. */
        OnWall: {
            /**
             * Format: double
             * @description Left edge from the wall's left corner.
             */
            left: number;
            /**
             * Format: double
             * @description Right edge from the wall's left corner.
             */
            right: number;
            /**
             * Format: double
             * @description Lower edge above the floor.
             */
            bottom: number;
            /**
             * Format: double
             * @description Upper edge above the floor.
             */
            top: number;
            /**
             * Format: double
             * @description How far it stands out of the wall, where known.
             */
            out: number | null;
        };
        /** @description How many findings wait to be settled in a moment. */
        OpenAt: {
            /** @description The moment. */
            moment: components["schemas"]["Moment"];
            /**
             * Format: uint
             * @description How many.
             */
            open: number;
        };
        /** @description Another way for the same cable. */
        OtherWay: {
            /** @description Its legs in words. */
            legs: string[];
            /** @description What it leaves out, in words; empty where it goes round one part of the house alone. */
            leaves_out: string[];
            /** @description Length at least and at most, m. */
            length_m: [
                number,
                number
            ];
            /** @description Time at least and at most, s. */
            time_s: [
                number,
                number
            ];
            /** @description Holes at least and at most. */
            holes: [
                number,
                number
            ];
            /** @description Holes and time, in words. */
            work_text: string;
            /** @description What it is longer or shorter and quicker or slower by, in words. */
            against_text: string;
            /** @description Where it runs, space by space, m. */
            path: components["schemas"]["WayPiece"][];
            /** @description What takes it. */
            edits: components["schemas"]["Edit"][];
        };
        /** @description Lines that nothing should be in the way of. */
        Overlays: {
            /** @description From each seat's eyes to the middle of the picture that it faces. */
            sight_lines: components["schemas"]["SightLine"][];
            /** @description From each lens to the corners of its picture. */
            beams: components["schemas"]["Beam"][];
            /** @description Where each loudspeaker is loud. */
            cones: components["schemas"]["Cone"][];
            /** @description Where cables run. */
            routes: components["schemas"]["CableRoute"][];
        };
        /** @description What a device is from now on. */
        Paired: {
            role: components["schemas"]["Role"];
            device: string;
        };
        /** @description What sheets are printed on. */
        Paper: "a4" | "letter";
        /** @description A photograph. */
        Photograph: {
            /** @description The SHA-256 of its bytes: its address. */
            hash: string;
            /** @description The document path of what it shows; empty for the job. */
            pinned: string;
            /** @description What to see on it. */
            caption: string;
            /** @description Who took it. */
            who: string;
            /** @description When, RFC 3339. */
            when: string;
            /**
             * Format: uint32
             * @description Pixels across, as it is shown.
             */
            width: number;
            /**
             * Format: uint32
             * @description Pixels down.
             */
            height: number;
        };
        /** @description One projected picture. */
        PictureLight: {
            /** @description The projector. */
            projector: string;
            /** @description What must be learned first; null where the year is known. */
            missing: components["schemas"]["Need"] | null;
            /** @description Its year; null where something is missing. */
            year: components["schemas"]["YearLight"] | null;
        };
        /** @description A line in plan to snap to: of one x or of one y. */
        PlanSnap: {
            /**
             * Format: double
             * @description The line of this x.
             */
            x: number | null;
            /**
             * Format: double
             * @description The line of this y.
             */
            y: number | null;
            /** @description What is there. */
            why: string;
            /** @description Bodies that it stems from: they do not snap to themselves. */
            of: string[];
        };
        /** @description How the set is printed. */
        Print: {
            /** @description On what. */
            paper: components["schemas"]["Paper"];
            /**
             * @description The date that the sheets carry, `2026-11-25`; the job's own when empty.
             * @default
             */
            date?: string;
        };
        /** @description One thing wrong with a document. */
        Problem: {
            /**
             * Format: uint
             * @description The line, from 1.
             */
            line: number;
            /**
             * Format: uint
             * @description The letter in its line, from 1.
             */
            column: number;
            /** @description What is wrong. */
            says: string;
            /** @description What would be accepted. */
            accepted: string;
            /** @description The path of the fact that it is about, where there is one. */
            at: string | null;
        };
        /** @description How far a solve is. */
        Progress: {
            /** @constant */
            event: "progress";
            /**
             * Format: uint
             * @description Steps done.
             */
            done: number;
            /**
             * Format: uint
             * @description Steps in all.
             */
            of: number;
            /** @description What is being done. */
            stage: string;
            /**
             * Format: double
             * @description Rough time left, s; nothing until it can be told.
             */
            left_s: number | null;
        } | {
            /** @constant */
            event: "done";
            /** @description Where its result is. */
            url: string;
        } | {
            /** @constant */
            event: "failed";
            /** @description Why. */
            message: string;
        };
        /** @description Where a projector can be at one height. */
        ProjectorPlace: {
            /** @description The item's id. */
            item: string;
            /** @description Its name for people. */
            label: string;
            /** @description Whether it stands; it hangs otherwise. */
            stands: boolean;
            /**
             * Format: double
             * @description How far its top hangs below the ceiling, or its underside stands above the floor, m.
             */
            height_m: number;
            /** @description The same for people. */
            height_text: string;
            /** @description One sentence on where it can be. */
            says: string;
            /** @description Connected parts of the region of the case's middle, the largest first. */
            parts: components["schemas"]["FoundPart"][];
            /** @description What stops it at the edges, by the number that an edge carries. */
            stops: components["schemas"]["FoundStop"][];
            /** @description Where it can be nowhere: what stops it, each alone. */
            stopped_by: components["schemas"]["FoundStop"][];
            /** @description Drops at which there is a place, shortest and longest, m. */
            drops_m: [
                number,
                number
            ][];
            /** @description The same for people. */
            drops_text: string;
            /** @description The place with the most room around it. */
            place: components["schemas"]["FoundPlace"] | null;
            /** @description Where its case's middle is now. */
            present: [
                number,
                number
            ] | null;
            /** @description What must be known before a check says anything: nothing is kept off for it. */
            needs: string[];
            /** @description Dangers of hanging or moving it. */
            cautions: string[];
        };
        /** @description Where the projectors of a space can be. */
        ProjectorPlaces: {
            /** @description The space's id. */
            space: string;
            /** @description One answer a projector. */
            projectors: components["schemas"]["ProjectorPlace"][];
        };
        /** @description A change to be proved, not saved. */
        Prove: {
            /**
             * Format: uint64
             * @description The revision that the client shows.
             */
            base: number;
            /**
             * @description Facts set or taken away.
             * @default []
             */
            edits?: components["schemas"]["Edit"][];
            /**
             * @description Bodies dragged elsewhere; made after the edits.
             * @default []
             */
            moves?: components["schemas"]["Move"][];
            /** @description Whose requests replace each other. */
            client: string;
            /**
             * Format: uint64
             * @description Counts up with each of the client's requests.
             */
            seq: number;
        };
        /** @description How a changed copy's findings differ. */
        Proved: {
            /**
             * Format: uint64
             * @description The request's.
             */
            seq: number;
            /** @description The difference to the base. */
            delta: components["schemas"]["Delta"];
            /** @description What would be written. */
            edits: components["schemas"]["Edit"][];
            /** @description Where the moved bodies are then. */
            says: string;
        };
        /** @description A value from outside the project that the program is held to. */
        PublishedValue: {
            /** @description The place, the case and the mark. */
            cite: string;
            /**
             * Format: double
             * @description The source's answer, in `unit`.
             */
            expected: number;
            /**
             * Format: double
             * @description The program's answer, in `unit`; null where it refuses the case.
             */
            computed: number | null;
            /**
             * Format: double
             * @description The largest difference that the source leaves room for, in `unit`.
             */
            tolerance: number;
            /** @description The unit's symbol; `1` for a pure number. */
            unit: string;
            /** @description Whether the difference is within the tolerance. */
            holds: boolean;
        };
        /** @description A rack. */
        Rack: {
            /** @description The rack. */
            rack: components["schemas"]["Named"];
            /**
             * Format: uint32
             * @description How many units it has.
             */
            slots: number;
            /** @description What stands in it, from the top. */
            things: components["schemas"]["Racked"][];
            /** @description Names of what is inside and has no unit yet. */
            loose: string[];
            /** @description How warm it gets inside, everything running. */
            heat: components["schemas"]["RackHeat"][];
        };
        /** @description A state of a rack's doors and air. */
        RackHeat: {
            /** @description The state. */
            says: string;
            /** @description Air inside. */
            inside_text: string;
            /** @description The lowest rating inside, and of what; null where none is known. */
            lowest_text: string | null;
            /** @description What is left to that rating. */
            spare_text: string | null;
        };
        /** @description A thing in a rack. */
        Racked: {
            /** @description The thing. */
            thing: components["schemas"]["Named"];
            /** @description Mass and heat, as far as they are known. */
            facts_text: string;
            /**
             * Format: uint32
             * @description Its lowest unit, from 1 at the bottom.
             */
            slot: number;
            /**
             * Format: uint32
             * @description Its height in units.
             */
            units: number;
        };
        /** @description Why a row is no entry; a row may have several reasons. */
        Rejected: {
            /**
             * Format: uint
             * @description The row's number as a spreadsheet counts.
             */
            row: number;
            /** @description The head of the column at fault; none for the row as a whole. */
            column: string | null;
            /** @description What stands in the cell. */
            text: string;
            /** @description What is wrong. */
            reason: string;
            /** @description What would be accepted. */
            accepted: string;
        };
        /** @description A change to the job that would mend a finding. */
        Remedy: {
            /** @description What `prove --apply` takes. */
            id: string;
            /** @description What to do, in the job's own units. */
            says: string;
            /** @description The change to the job file. */
            edits: components["schemas"]["Edit"][];
            /**
             * Format: double
             * @description Further working time, s.
             */
            time_s: number;
            /**
             * Format: double
             * @description Further wire, m.
             */
            wire_m: number;
            /**
             * Format: uint32
             * @description Further holes.
             */
            holes: number;
            /**
             * Format: double
             * @description What time and wire cost, in the job's currency; null when it states no rates.
             */
            money: number | null;
            /** @description Dangers of doing it. */
            cautions: string[];
            /** @description The whole job proved again with it; null when it was not tried. */
            effect: components["schemas"]["Effect"] | null;
        };
        /** @description Who put a job away. */
        Removed: {
            /** @description Who. */
            who: string;
            /** @description When, RFC 3339. */
            when: string;
        };
        /** @description A resonance of the room with what makes it. */
        Resonance: {
            /**
             * Format: double
             * @description Where it resonates, Hz.
             */
            hz: number;
            /**
             * Format: double
             * @description How long it rings, s for 60 dB.
             */
            t60_s: number;
            /** @description The surfaces that it presses on most, strongest first. */
            between: string[];
            /** @description Seats that sit in its null, by id. */
            nulls: string[];
            /** @description All of it in a sentence. */
            says: string;
        };
        /** @description One line of a job's history. */
        Revision: {
            /**
             * Format: uint64
             * @description The revision's number.
             */
            n: number;
            /** @description Who made it. */
            who: string;
            /** @description When, RFC 3339. */
            when: string;
            /** @description How it came about: `create`, `edit`, `merge`, `import`, `undo`, `redo`, `resolve`. */
            kind: string;
            /** @description What it does. */
            summary: string;
            /** @description Its name, if somebody gave it one. */
            name: string | null;
            /** @description It is taken back. */
            undone: boolean;
        };
        /** @description What a device may do. */
        Role: "view" | "crew";
        /** @description A space of the job. */
        Room: {
            /** @description Its id. */
            id: string;
            /** @description Its name for people. */
            name: string;
            /** @description Indoors or out. */
            kind: components["schemas"]["SceneKind"];
            /**
             * Format: uint
             * @description Facts of it that are still blank.
             */
            blanks: number;
        };
        /** @description A change to be saved. */
        Save: {
            /** @description The operation's own number; the same again is not done again. */
            op: string;
            /**
             * Format: uint64
             * @description The revision that the client shows.
             */
            base: number;
            /**
             * @description Facts set or taken away.
             * @default []
             */
            edits?: components["schemas"]["Edit"][];
            /**
             * @description Bodies dragged elsewhere; made after the edits.
             * @default []
             */
            moves?: components["schemas"]["Move"][];
            /**
             * @description What it does, in a line; made up when left out.
             * @default null
             */
            summary?: string | null;
        };
        /** @description What became of a change. */
        Saved: {
            /**
             * Format: uint64
             * @description The last revision that is proved and holds it.
             */
            revision: number;
            /** @description What was saved, undone, merged. */
            says: string;
            /** @description Others saved meanwhile. */
            merged: boolean;
            /** @description What both set differently, to be settled. */
            contested: components["schemas"]["Contested"][];
            /** @description How the findings differ from those of the client's revision. */
            delta: components["schemas"]["Delta"];
            /** @description What undo takes back now. */
            undo: string | null;
            /** @description What redo makes again now. */
            redo: string | null;
        };
        /** @description One space. */
        Scene: {
            /** @description The space's id. */
            space: string;
            /** @description Its name for people. */
            name: string;
            /** @description Indoors or out. */
            kind: components["schemas"]["SceneKind"];
            /** @description The system in which its texts are printed. */
            units: components["schemas"]["SceneUnits"];
            /**
             * @description The corners in the order of the walk, the left end of each wall; where the walls
             *     enclose no room, the walk as measured, which is left open.
             */
            floor: [
                number,
                number
            ][];
            /** @description The box about the floor. */
            bounds: components["schemas"]["Bounds"];
            /**
             * Format: double
             * @description North, clockwise from y upwards on the plan, rad; null where nobody held a compass to a
             *     wall.
             */
            north_rad: number | null;
            /**
             * Format: double
             * @description The highest point of the ceiling; 2.4 m where it is not known, or outdoors.
             */
            height_m: number;
            /** @description Whether the walls enclose a room. */
            closed: boolean;
            /**
             * @description By how much the walls miss each other, where they do by more than chance explains, or
             *     what must be measured before they enclose a room.
             */
            gap_text: string | null;
            /** @description The walls in the order of the walk. */
            walls: components["schemas"]["SceneWall"][];
            /** @description What is overhead. */
            ceiling: components["schemas"]["SceneCeiling"];
            /** @description Boxes below the ceiling. */
            soffits: components["schemas"]["SceneSoffit"][];
            /** @description Whatever stands, hangs or is let in: openings, fixtures, items, seats. */
            bodies: components["schemas"]["Body"][];
            /** @description Lines that nothing should be in the way of. */
            overlays: components["schemas"]["Overlays"];
        };
        /** @description What is overhead. */
        SceneCeiling: {
            /** @description `flat`, `shed`, `gable`, `hip`, `planes`, `none` outdoors, or `unknown`. */
            shape: string;
            /** @description Its plane faces, each as its corners. */
            planes: [
                number,
                number,
                number
            ][][];
            /** @description Whether it is known well enough to be drawn. */
            known: boolean;
            /** @description Its heights in words, or what must be measured. */
            words: string;
            /** @description Middles of the joists. */
            joists: components["schemas"]["Joist"][];
            /** @description Lines that a thing dragged in plan may snap to. */
            snaps: components["schemas"]["PlanSnap"][];
        };
        /** @description Indoors or out. */
        SceneKind: "room" | "outdoor";
        /** @description A box below the ceiling. */
        SceneSoffit: {
            /** @description `soffit:` and its name in the document. */
            id: string;
            /** @description The four corners of its underside, then those above them. */
            corners: [
                number,
                number,
                number
            ][];
            /** @description Its name and height. */
            label: string;
        };
        /** @description A system of units. */
        SceneUnits: "imperial" | "metric";
        /** @description One wall, or one edge of an outdoor area. */
        SceneWall: {
            /** @description Its name in the document. */
            id: string;
            /** @description Its name for people. */
            name: string;
            /** @description Its left end, seen from inside; null where the walk can't be followed to it. */
            from: [
                number,
                number
            ] | null;
            /** @description Its right end; null where the walk can't be followed to it. */
            to: [
                number,
                number
            ] | null;
            /**
             * Format: double
             * @description Its length as adjusted; null while unknown.
             */
            length_m: number | null;
            /** @description The same in the job's units. */
            length_text: string | null;
            /**
             * @description Whether it is among the likeliest mistakes of a room that does not close, or was
             *     worked out from the others.
             */
            doubtful: boolean;
            /** @description Whether it is an edge without a wall. */
            open: boolean;
            /** @description The compass direction in which one faces it, as `faces north, 10°`. */
            faces_text: string | null;
            /**
             * @description Its upper edge, left to right: distance from the left corner, height. Empty while
             *     unknown.
             */
            top: [
                number,
                number
            ][];
            /** @description Studs, left to right. */
            studs: components["schemas"]["Stud"][];
            /** @description Blocks between studs. */
            blocks: components["schemas"]["Block"][];
            /** @description What is inside it, and how sure that is. */
            framing_text: string;
            /** @description Lines that a thing dragged along it may snap to. */
            snaps: components["schemas"]["WallSnap"][];
        };
        /** @description What one seat sees. */
        SeatLight: {
            /** @description The seat. */
            seat: string;
            /**
             * Format: double
             * @description Its angle from the screen's normal, rad.
             */
            angle_rad: number;
            /** @description The same in the job's own units. */
            angle_text: string;
            /**
             * Format: double
             * @description The screen's gain there.
             */
            gain: number;
            /**
             * Format: double
             * @description White seen from it, cd/m².
             */
            white_cd_m2: number;
            /**
             * Format: double
             * @description The same in foot-lamberts.
             */
            white_fl: number;
            /** @description Whether the gain is known there: within one and a half half-gain angles. */
            is_reliable: boolean;
        };
        /** @description Which of both stays. */
        Settle: {
            /** @description The operation's own number. */
            op: string;
            /** @description Which. */
            keep: components["schemas"]["Kept"];
            /**
             * Format: uint64
             * @description The revision that the client shows; the one before when left out.
             * @default null
             */
            base?: number | null;
        };
        /** @description A finding that a measurement would settle. */
        Settled: {
            /** @description The check's id. */
            check: string;
            /** @description What it is about. */
            subject: string;
        };
        /** @description How the program is open to other devices. */
        Sharing: {
            /** @description Whether it is. */
            on: boolean;
            /** @description Where devices reach it. */
            addresses: string[];
            /** @description The code shown at the moment. */
            code: string | null;
            /** @description Until when it holds, RFC 3339. */
            code_until: string | null;
            /** @description Devices that are paired, oldest first. */
            devices: components["schemas"]["Device"][];
            /** @description Whether connections are encrypted. */
            secure: boolean;
            /**
             * @description Of the certificate that a device is told to trust: it shows the same. Null where it needs
             *     none.
             */
            fingerprint: string | null;
        };
        /** @description A sheet's words and drawings. */
        Sheet: {
            /** @description Its id. */
            id: string;
            /** @description Its title. */
            title: string;
            /** @description What to beware of. */
            cautions: string[];
            /** @description What stands on it, in order. */
            contents: components["schemas"]["Content"][];
        };
        /** @description A column of a table. */
        SheetColumn: {
            /** @description Its head. */
            head: string;
            /** @description What stands in it: `text`, `number`, `tick` or `verdict`. */
            holds: string;
        };
        /** @description A finding as a sheet prints it. */
        SheetFinding: {
            /** @description The verdict. */
            verdict: components["schemas"]["Verdict"];
            /** @description What was checked. */
            title: string;
            /** @description What it is about. */
            subject: string;
            /** @description The value found; empty when unknown. */
            value_text: string;
            /** @description The limit. */
            limit_text: string;
            /** @description The margin with sign and uncertainty. */
            margin_text: string;
            /** @description The reason. */
            because: string;
            /** @description Findings of the same thing that are less bad. */
            others: string[];
            /** @description Where the limit comes from. */
            source: string;
            /** @description What would mend it. */
            remedies: string[];
        };
        /** @description A sheet in the list of sheets. */
        SheetLine: {
            /** @description Its id. */
            id: string;
            /** @description Its title. */
            title: string;
            /** @description What it is: `findings`, `plan`, `wall`, `cables` … */
            kind: string;
            /** @description The space that it shows, if it is one space's. */
            space: string | null;
        };
        /** @description A table of a sheet. */
        SheetTable: {
            /** @description Above it; may be empty. */
            heading: string;
            /** @description Its columns. */
            columns: components["schemas"]["SheetColumn"][];
            /** @description Its rows: one text for each column that is no tick box. */
            rows: string[][];
            /** @description Sums; empty or like a row. */
            total: string[];
        };
        /** @description From a seat to its picture. */
        SightLine: {
            /** @description The seat's body. */
            seat: string;
            /** @description The picture's body. */
            item: string;
            /** @description Between the eyes. */
            from: [
                number,
                number,
                number
            ];
            /** @description The middle of the lit picture. */
            to: [
                number,
                number,
                number
            ];
        };
        /** @description What stops a picture from being larger. */
        SizeStop: {
            /** @description The check that refuses a larger one. */
            check: string;
            /** @description What it is about. */
            label: string;
            /**
             * Format: double
             * @description The width up to which it does not, m.
             */
            width_m: number;
            /** @description The same for people, with the diagonal. */
            size_text: string;
            /** @description What the check says just beyond. */
            because: string;
        };
        /** @description A space's sound above the bass. */
        Sound: {
            /** @description The space. */
            space: string;
            /** @description Its name for people. */
            name: string;
            /** @description What must be known before levels can be told; empty where they are. */
            missing: string | null;
            /**
             * Format: double
             * @description Side of a cell of the map, m.
             */
            cell_m: number;
            /** @description The middle of each cell of the map, m. */
            cells: [
                number,
                number
            ][];
            /** @description How far above the floor they are, for people. */
            up_text: string;
            /** @description Each octave. */
            octaves: components["schemas"]["SoundOctave"][];
            /** @description Each seat, and from where it hears each channel. */
            dials: components["schemas"]["AngleDial"][];
        };
        /** @description An octave: all loudspeakers but subwoofers by power, at equal levels 1 m before each. */
        SoundOctave: {
            /**
             * Format: double
             * @description Its middle, Hz.
             */
            hz: number;
            /** @description The same for people. */
            text: string;
            /** @description The level in each cell, re the loudest, dB. */
            level_db: number[];
            /** @description The level at each seat. */
            seats: components["schemas"]["SoundSeat"][];
        };
        /** @description A seat in an octave. */
        SoundSeat: {
            /** @description The seat. */
            seat: string;
            /** @description Its head in plan, m. */
            at: [
                number,
                number
            ];
            /**
             * Format: double
             * @description Its level re the loudest place, dB.
             */
            level_db: number;
            /** @description The same for people. */
            text: string;
        };
        /** @description Kinds of source. */
        SourceMark: "published" | "derived" | "common-practice" | "from-memory" | "spec-sheet" | "agreed";
        /** @description Where something comes from. */
        Sourced: {
            /** @description In words. */
            words: string;
            /** @description How far it can be relied on. */
            mark: components["schemas"]["SourceMark"];
        };
        /** @description How many findings of a space have each verdict. */
        SpaceCounts: {
            /** @description The space's id; null for the whole house. */
            space: string | null;
            /** @description Its counts. */
            counts: components["schemas"]["Counts"];
        };
        /** @description Indoors or out. */
        SpaceKind: "room" | "outdoor";
        /** @description A space in a list. */
        SpaceLine: {
            /** @description Its id. */
            id: string;
            /** @description Its name. */
            name: string;
            /** @description Whether it has a ceiling. */
            kind: components["schemas"]["SpaceKind"];
        };
        /** @description A stud. */
        Stud: {
            /**
             * Format: double
             * @description Its middle from the wall's left corner.
             */
            centre_m: number;
            /**
             * Format: double
             * @description Across its face.
             */
            width_m: number;
        };
        /** @description What a finding is about. */
        Subject: {
            /** @description Unique together with the check and the space. */
            id: string;
            /** @description Words for people. */
            label: string;
        };
        /** @description A surface on which a body can be dragged. */
        Surface: "wall" | "floor" | "ceiling";
        /** @description A tick. */
        Tick: {
            /** @description What is ticked. */
            tick: string;
            /** @description Whether it is done. */
            done: boolean;
            /** @description Who says so. */
            who: string;
            /** @description When, RFC 3339. */
            when: string;
        };
        /** @description Something ticked or unticked, perhaps a while ago and out of reach. */
        Ticked: {
            /** @description The operation's own number; the same again is not done again. */
            op: string;
            /** @description What is ticked. */
            tick: string;
            /** @description Whether it is done. */
            done: boolean;
            /** @description When that was, RFC 3339. */
            at: string;
        };
        /** @description A sub that is tried. */
        TriedSub: {
            /**
             * Format: double
             * @description Along the first wall, m.
             */
            x: number;
            /**
             * Format: double
             * @description Square to that, m.
             */
            y: number;
            /**
             * Format: double
             * @description The middle of its case above the floor, m; as it stands on the floor when left out.
             * @default null
             */
            z?: number | null;
            /**
             * Format: double
             * @description Gain, dB.
             * @default 0
             */
            gain_db?: number;
            /**
             * Format: double
             * @description Delay, s.
             * @default 0
             */
            delay_s?: number;
            /**
             * @description Whether its polarity is turned.
             * @default false
             */
            inverted?: boolean;
        };
        /** @description What was typed. */
        Typed: {
            /** @description The field's document path. */
            at: string;
            /** @description What was typed into it. */
            text: string;
        };
        /** @description A code as somebody typed it. */
        Typed2: {
            code: string;
            /** @description What history calls the device. */
            device: string;
        };
        /** @description The system in which results are printed. */
        Units: "imperial" | "metric";
        /** @description What a margin says. */
        Verdict: "fails" | "tight" | "unknown" | "fits";
        /** @description The survey of one space. */
        Walk: {
            /** @description The space's id. */
            space: string;
            /** @description Its name for people. */
            name: string;
            /** @description Indoors or out. */
            kind: components["schemas"]["SceneKind"];
            /** @description Every space of the job, to walk on to. */
            rooms: components["schemas"]["Room"][];
            /** @description The walls as walked. */
            wall_strip: components["schemas"]["WalkWall"][];
            /** @description Whether the walls close; null while they can't be tried. */
            closes: components["schemas"]["Closes"] | null;
            /** @description What must be measured before closing can be tried; null once it was tried. */
            closes_needs: string | null;
            /** @description Walls, diagonals, ceiling, floor level, facing, finishes, ambient, noise, reverberation, temperature. */
            fields: components["schemas"]["Field"][];
            /** @description What was there before. */
            fixtures: components["schemas"]["WalkThing"][];
            /** @description Doors, windows and archways. */
            openings: components["schemas"]["WalkThing"][];
            /** @description Where people sit. */
            seats: components["schemas"]["WalkThing"][];
            /** @description Boxes below the ceiling. */
            soffits: components["schemas"]["WalkThing"][];
            /** @description What is inside walls, ceiling and floor. */
            constructions: components["schemas"]["WalkThing"][];
            /** @description What lies, hangs and stands there that changes how the room rings; furniture and people too. */
            coverings: components["schemas"]["WalkThing"][];
            /** @description What a covering may be: finishes by their names. */
            covering_finishes: components["schemas"]["Choice"][];
            /**
             * @description Facts of this space and its items that are still blank, those that decide most
             *     findings first; last those that stand as `?`, and walls without a length, that decide none
             *     yet.
             */
            blanks: components["schemas"]["Blank"][];
        };
        /** @description A measurement that may be mistaken. */
        WalkSuspect: {
            /** @description The wall, or null for a diagonal. */
            wall: string | null;
            /** @description What to do. */
            says: string;
            /** @description What writes the value that would close the room, once somebody has read it off again. */
            edit: components["schemas"]["Edit"];
        };
        /** @description A fixture, opening, seat, soffit, construction or covering. */
        WalkThing: {
            /** @description Its path's last part in the document. */
            id: string;
            /** @description Its path. */
            at: string;
            /** @description What it is. */
            kind: string;
            /** @description Its name for people. */
            label: string;
            /** @description Name and place in one phrase. */
            says: string;
            /** @description Its facts. */
            fields: components["schemas"]["Field"][];
        };
        /** @description A wall as walked. */
        WalkWall: {
            /** @description Its name in the document. */
            id: string;
            /** @description Its name for people. */
            name: string;
            /** @description Its length as written; null while blank. */
            length_text: string | null;
            /** @description How its length was taken; null while blank. */
            how: string | null;
            /** @description The inside angle at its right end as written; null where it is taken as square. */
            corner_text: string | null;
            /** @description Whether it is among the likeliest mistakes of a room that does not close. */
            doubtful: boolean;
            /** @description All of it in one phrase. */
            says: string;
        };
        /** @description A line on a wall to snap to: upright or level. */
        WallSnap: {
            /**
             * Format: double
             * @description Upright: from the wall's left corner.
             */
            along_m: number | null;
            /**
             * Format: double
             * @description Level: above the floor.
             */
            height_m: number | null;
            /** @description What is there. */
            why: string;
            /** @description Bodies that it stems from: they do not snap to themselves. */
            of: string[];
        };
        /** @description Which role the next device gets. */
        Wanted: {
            role: components["schemas"]["Role"];
        };
        /** @description A part of a way inside one space. */
        WayPiece: {
            /** @description The space. */
            space: string;
            /** @description Its corners in the space's frame, m. */
            points: [
                number,
                number,
                number
            ][];
        };
        /** @description One window. */
        WindowLight: {
            /** @description The opening. */
            opening: string;
            /**
             * Format: double
             * @description The share of light that passes glass and blind together.
             */
            transmittance: number;
        };
        /** @description What is wired, racked and cut in a house. */
        Wiring: {
            /** @description Racks with units. */
            racks: components["schemas"]["Rack"][];
            /** @description Mains circuits. */
            circuits: components["schemas"]["CircuitLoad"][];
            /** @description Which thing is joined to which; null where nothing is. */
            diagram: components["schemas"]["Diagram"] | null;
            /** @description What each button does. */
            buttons: components["schemas"]["ButtonDoes"][];
            /** @description What is on the network. */
            network: components["schemas"]["OnNetwork"][];
            /** @description Holes for what is let into walls and ceilings. */
            cut_outs: components["schemas"]["CutOut"][];
        };
        /** @description A picture through the year, on the 21st of each month, best estimates. */
        YearLight: {
            /** @description The projector's name for people. */
            projector_name: string;
            /** @description The screen. */
            screen: string;
            /** @description Its name for people. */
            screen_name: string;
            /**
             * Format: double
             * @description White with the light source at the end of its use, cd/m².
             */
            white_cd_m2: number;
            /** @description White and black in the job's own units. */
            white_text: string;
            /**
             * Format: double
             * @description Black with nothing else lit, cd/m².
             */
            black_cd_m2: number;
            /**
             * Format: double
             * @description White over black with nothing else lit.
             */
            native_contrast: number;
            /**
             * Format: double
             * @description Luminance that room light makes, over that of a white diffuser.
             */
            ambient_reflectance: number;
            /**
             * Format: double
             * @description Contrast of a picture half white at night, the lamps lit that burn while it is watched.
             */
            night_contrast: number;
            /** @description The published classes of contrast, from the least. */
            classes: components["schemas"]["ContrastClass"][];
            /** @description January to December. */
            months: components["schemas"]["MonthLight"][];
            /** @description The windows that let daylight in. */
            windows: components["schemas"]["WindowLight"][];
            /** @description What each seat sees. */
            seats: components["schemas"]["SeatLight"][];
            /** @description The screen's gain by the angle from its normal. */
            gain: components["schemas"]["GainByAngle"];
            /**
             * Format: double
             * @description Light on the screen that was read on site, lx.
             */
            reading_lux: number | null;
            /** @description Between which times of day it is watched, as `["19:00", "23:30"]`. */
            watched: [
                string,
                string
            ] | null;
            /** @description The same in minutes after midnight. */
            watched_minutes: [
                number,
                number
            ] | null;
        };
        /** @description Sets of places for a zone's loudspeakers. */
        ZonePlaces: {
            /** @description The zone's id. */
            zone: string;
            /** @description The layout as it is planned now. */
            present: components["schemas"]["FoundPlan"] | null;
            /** @description Answers that differ. */
            plans: components["schemas"]["FoundPlan"][];
            /** @description What must be known first. */
            needs: string[];
            /** @description What to beware of in putting them there. */
            cautions: string[];
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type Account = components['schemas']['Account'];
export type Again = components['schemas']['Again'];
export type AngleDial = components['schemas']['AngleDial'];
export type AreaCounts = components['schemas']['AreaCounts'];
export type Bar = components['schemas']['Bar'];
export type BassArrangement = components['schemas']['BassArrangement'];
export type BassAsked = components['schemas']['BassAsked'];
export type BassBegun = components['schemas']['BassBegun'];
export type BassBest = components['schemas']['BassBest'];
export type BassContour = components['schemas']['BassContour'];
export type BassDecay = components['schemas']['BassDecay'];
export type BassField = components['schemas']['BassField'];
export type BassFieldAsked = components['schemas']['BassFieldAsked'];
export type BassFitting = components['schemas']['BassFitting'];
export type BassHeard = components['schemas']['BassHeard'];
export type BassLoudest = components['schemas']['BassLoudest'];
export type BassPlace = components['schemas']['BassPlace'];
export type BassPlane = components['schemas']['BassPlane'];
export type BassPut = components['schemas']['BassPut'];
export type BassRow = components['schemas']['BassRow'];
export type BassSeat = components['schemas']['BassSeat'];
export type BassSolved = components['schemas']['BassSolved'];
export type BassState = components['schemas']['BassState'];
export type BassStudy = components['schemas']['BassStudy'];
export type BassSub = components['schemas']['BassSub'];
export type BassTimed = components['schemas']['BassTimed'];
export type BassTreated = components['schemas']['BassTreated'];
export type BassTried = components['schemas']['BassTried'];
export type Beam = components['schemas']['Beam'];
export type BeamShadow = components['schemas']['BeamShadow'];
export type Begun = components['schemas']['Begun'];
export type Blank = components['schemas']['Blank'];
export type Block = components['schemas']['Block'];
export type Body = components['schemas']['Body'];
export type BodyKind = components['schemas']['BodyKind'];
export type BodyPlace = components['schemas']['BodyPlace'];
export type Bounds = components['schemas']['Bounds'];
export type ButtonDoes = components['schemas']['ButtonDoes'];
export type ButtonStep = components['schemas']['ButtonStep'];
export type CableRoute = components['schemas']['CableRoute'];
export type CableWay = components['schemas']['CableWay'];
export type CatalogueColumn = components['schemas']['CatalogueColumn'];
export type CatalogueEntry = components['schemas']['CatalogueEntry'];
export type CatalogueFact = components['schemas']['CatalogueFact'];
export type CatalogueKind = components['schemas']['CatalogueKind'];
export type CatalogueRead = components['schemas']['CatalogueRead'];
export type CatalogueReport = components['schemas']['CatalogueReport'];
export type Change = components['schemas']['Change'];
export type Changed = components['schemas']['Changed'];
export type CheckLine = components['schemas']['CheckLine'];
export type Choice = components['schemas']['Choice'];
export type Chosen = components['schemas']['Chosen'];
export type CircuitLoad = components['schemas']['CircuitLoad'];
export type CircuitLoadPart = components['schemas']['CircuitLoadPart'];
export type Closes = components['schemas']['Closes'];
export type Comparison = components['schemas']['Comparison'];
export type Conduit = components['schemas']['Conduit'];
export type ConduitCable = components['schemas']['ConduitCable'];
export type Conduits = components['schemas']['Conduits'];
export type Cone = components['schemas']['Cone'];
export type Content = components['schemas']['Content'];
export type Contested = components['schemas']['Contested'];
export type ContrastClass = components['schemas']['ContrastClass'];
export type Counts = components['schemas']['Counts'];
export type CutOut = components['schemas']['CutOut'];
export type Decider = components['schemas']['Decider'];
export type Delta = components['schemas']['Delta'];
export type Device = components['schemas']['Device'];
export type Diagram = components['schemas']['Diagram'];
export type DiagramBox = components['schemas']['DiagramBox'];
export type DiagramLead = components['schemas']['DiagramLead'];
export type DialChannel = components['schemas']['DialChannel'];
export type DisplayPlace = components['schemas']['DisplayPlace'];
export type DisplayPlaces = components['schemas']['DisplayPlaces'];
export type Doors = components['schemas']['Doors'];
export type Drawn = components['schemas']['Drawn'];
export type DrawnLine = components['schemas']['DrawnLine'];
export type DrawnText = components['schemas']['DrawnText'];
export type DrawnThing = components['schemas']['DrawnThing'];
export type Edit = components['schemas']['Edit'];
export type Effect = components['schemas']['Effect'];
export type Error = components['schemas']['Error'];
export type ExistingWay = components['schemas']['ExistingWay'];
export type FactChange = components['schemas']['FactChange'];
export type Facts = components['schemas']['Facts'];
export type Field = components['schemas']['Field'];
export type FieldKind = components['schemas']['FieldKind'];
export type FieldRead = components['schemas']['FieldRead'];
export type Finding = components['schemas']['Finding'];
export type FindingChange = components['schemas']['FindingChange'];
export type Findings = components['schemas']['Findings'];
export type Form = components['schemas']['Form'];
export type FoundChange = components['schemas']['FoundChange'];
export type FoundChoice = components['schemas']['FoundChoice'];
export type FoundEdge = components['schemas']['FoundEdge'];
export type FoundLoss = components['schemas']['FoundLoss'];
export type FoundPart = components['schemas']['FoundPart'];
export type FoundPlace = components['schemas']['FoundPlace'];
export type FoundPlan = components['schemas']['FoundPlan'];
export type FoundSpot = components['schemas']['FoundSpot'];
export type FoundStop = components['schemas']['FoundStop'];
export type GainByAngle = components['schemas']['GainByAngle'];
export type HeightStretch = components['schemas']['HeightStretch'];
export type HoldsFrom = components['schemas']['HoldsFrom'];
export type HourOfLight = components['schemas']['HourOfLight'];
export type HouseLimit = components['schemas']['HouseLimit'];
export type Import = components['schemas']['Import'];
export type Input = components['schemas']['Input'];
export type JobCard = components['schemas']['JobCard'];
export type JobView = components['schemas']['JobView'];
export type Joist = components['schemas']['Joist'];
export type Kept = components['schemas']['Kept'];
export type LargestPicture = components['schemas']['LargestPicture'];
export type LargestPictures = components['schemas']['LargestPictures'];
export type LayoutPlaces = components['schemas']['LayoutPlaces'];
export type Light = components['schemas']['Light'];
export type LoudspeakerAt = components['schemas']['LoudspeakerAt'];
export type LoudspeakerPatch = components['schemas']['LoudspeakerPatch'];
export type LoudspeakerPlace = components['schemas']['LoudspeakerPlace'];
export type LoudspeakerPlaces = components['schemas']['LoudspeakerPlaces'];
export type Manual = components['schemas']['Manual'];
export type ManualLimit = components['schemas']['ManualLimit'];
export type Me = components['schemas']['Me'];
export type MeasureAgain = components['schemas']['MeasureAgain'];
export type Moment = components['schemas']['Moment'];
export type MonthLight = components['schemas']['MonthLight'];
export type Move = components['schemas']['Move'];
export type Name = components['schemas']['Name'];
export type Named = components['schemas']['Named'];
export type Need = components['schemas']['Need'];
export type NewId = components['schemas']['NewId'];
export type NewJob = components['schemas']['NewJob'];
export type OnNetwork = components['schemas']['OnNetwork'];
export type OnWall = components['schemas']['OnWall'];
export type OpenAt = components['schemas']['OpenAt'];
export type OtherWay = components['schemas']['OtherWay'];
export type Overlays = components['schemas']['Overlays'];
export type Paired = components['schemas']['Paired'];
export type Paper = components['schemas']['Paper'];
export type Photograph = components['schemas']['Photograph'];
export type PictureLight = components['schemas']['PictureLight'];
export type PlanSnap = components['schemas']['PlanSnap'];
export type Print = components['schemas']['Print'];
export type Problem = components['schemas']['Problem'];
export type Progress = components['schemas']['Progress'];
export type ProjectorPlace = components['schemas']['ProjectorPlace'];
export type ProjectorPlaces = components['schemas']['ProjectorPlaces'];
export type Prove = components['schemas']['Prove'];
export type Proved = components['schemas']['Proved'];
export type PublishedValue = components['schemas']['PublishedValue'];
export type Rack = components['schemas']['Rack'];
export type RackHeat = components['schemas']['RackHeat'];
export type Racked = components['schemas']['Racked'];
export type Rejected = components['schemas']['Rejected'];
export type Remedy = components['schemas']['Remedy'];
export type Removed = components['schemas']['Removed'];
export type Resonance = components['schemas']['Resonance'];
export type Revision = components['schemas']['Revision'];
export type Role = components['schemas']['Role'];
export type Room = components['schemas']['Room'];
export type Save = components['schemas']['Save'];
export type Saved = components['schemas']['Saved'];
export type Scene = components['schemas']['Scene'];
export type SceneCeiling = components['schemas']['SceneCeiling'];
export type SceneKind = components['schemas']['SceneKind'];
export type SceneSoffit = components['schemas']['SceneSoffit'];
export type SceneUnits = components['schemas']['SceneUnits'];
export type SceneWall = components['schemas']['SceneWall'];
export type SeatLight = components['schemas']['SeatLight'];
export type Settle = components['schemas']['Settle'];
export type Settled = components['schemas']['Settled'];
export type Sharing = components['schemas']['Sharing'];
export type Sheet = components['schemas']['Sheet'];
export type SheetColumn = components['schemas']['SheetColumn'];
export type SheetFinding = components['schemas']['SheetFinding'];
export type SheetLine = components['schemas']['SheetLine'];
export type SheetTable = components['schemas']['SheetTable'];
export type SightLine = components['schemas']['SightLine'];
export type SizeStop = components['schemas']['SizeStop'];
export type Sound = components['schemas']['Sound'];
export type SoundOctave = components['schemas']['SoundOctave'];
export type SoundSeat = components['schemas']['SoundSeat'];
export type SourceMark = components['schemas']['SourceMark'];
export type Sourced = components['schemas']['Sourced'];
export type SpaceCounts = components['schemas']['SpaceCounts'];
export type SpaceKind = components['schemas']['SpaceKind'];
export type SpaceLine = components['schemas']['SpaceLine'];
export type Stud = components['schemas']['Stud'];
export type Subject = components['schemas']['Subject'];
export type Surface = components['schemas']['Surface'];
export type Tick = components['schemas']['Tick'];
export type Ticked = components['schemas']['Ticked'];
export type TriedSub = components['schemas']['TriedSub'];
export type Typed = components['schemas']['Typed'];
export type Typed2 = components['schemas']['Typed2'];
export type Units = components['schemas']['Units'];
export type Verdict = components['schemas']['Verdict'];
export type Walk = components['schemas']['Walk'];
export type WalkSuspect = components['schemas']['WalkSuspect'];
export type WalkThing = components['schemas']['WalkThing'];
export type WalkWall = components['schemas']['WalkWall'];
export type WallSnap = components['schemas']['WallSnap'];
export type Wanted = components['schemas']['Wanted'];
export type WayPiece = components['schemas']['WayPiece'];
export type WindowLight = components['schemas']['WindowLight'];
export type Wiring = components['schemas']['Wiring'];
export type YearLight = components['schemas']['YearLight'];
export type ZonePlaces = components['schemas']['ZonePlaces'];
export type $defs = Record<string, never>;
export type operations = Record<string, never>;

/** A point in plan, m. */
export type Xy = [number, number];
/** A point in a space, m. */
export type Xyz = [number, number, number];
export type Wall = SceneWall;
export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
