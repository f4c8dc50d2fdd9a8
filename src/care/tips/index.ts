export { type ChosenTip, type TipReason, type TipRule, tipDue, tipRules } from './tip-due.ts';
export { daysToNextTip, lastTipDay, recentConcernDays } from './tip-rhythm.ts';
export { type TipDay, tipRun, tipsByAge } from './tip-run.ts';
export type { Tip, TipConditions, TipFacts, TipTopic } from './tip.ts';
export { type TipConcern, tipConcerns } from './tip-concern.ts';
