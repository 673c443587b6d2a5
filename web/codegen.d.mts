/** Where the generated types are. */
export const SCHEMA: string;
/** The types of everything that the server takes and answers. */
export function generated(): Promise<string>;
