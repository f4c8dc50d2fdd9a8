export { type ChosenTip, type TipReason, tipDue, tipRules } from './tip-due.ts';
export { daysToNextTip, lastTipDay, recentConcernDays } from './tip-rhythm.ts';
export { tipRun, tipsByAge } from './tip-run.ts';
export type { Tip, TipFacts } from './tip.ts';
export { type TipConcern, tipConcerns } from './tip-concern.ts';
