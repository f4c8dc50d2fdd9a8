export { compileDanger, type DangerPhrases } from './compile-danger.ts';
export { readDanger } from './read-danger.ts';
