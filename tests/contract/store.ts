import { describe } from 'vitest';
import type { Sealer } from '../../src/store/sealing.ts';
import type { Store } from '../../src/store/store.ts';
import { alertsContract } from './store-alerts.ts';
import { commitContract } from './store-commit.ts';
import { dueContract } from './store-due.ts';
import { durabilityContract } from './store-durability.ts';
import { modelContract } from './store-model.ts';
import { outboxContract } from './store-outbox.ts';
import { resealContract } from './store-reseal.ts';
import { wholeLineContract } from './store-whole-line.ts';

/** A place that a store keeps things in: opened again it holds what was kept before. */
export interface StorePlace {
  open(sealer: Sealer): Promise<Store>;
  /** Everything the store wrote to disk, for looking into as a thief would. */
  bytesOnDisk(): Promise<Buffer>;
  /** Takes the place away. */
  remove(): Promise<void>;
}

export interface StoreContract {
  readonly name: string;
  /** A new, empty place. */
  readonly place: () => Promise<StorePlace>;
}

/** One part of the contract. */
export type ContractPart = (place: StoreContract['place']) => void;

const parts: Readonly<Record<string, ContractPart>> = {
  commits: commitContract,
  durability: durabilityContract,
  'due lines': dueContract,
  outbox: outboxContract,
  alerts: alertsContract,
  'whole lines': wholeLineContract,
  'key rotation': resealContract,
  'a simple model': modelContract,
};

/** What every store promises. Call it with production settings and the real thing. */
export function storeContract({ name, place }: StoreContract): void {
  describe(`store contract: ${name}`, () => {
    for (const [title, part] of Object.entries(parts)) {
      describe(title, () => part(place));
    }
  });
}
