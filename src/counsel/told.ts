/** Words for one counsellor, in her language, by the name of their text. */
export type Told = (key: string, values?: Readonly<Record<string, string | number>>) => string;
