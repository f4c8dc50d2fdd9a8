import { afterEach } from 'vitest';
import type { Sealer } from '../../src/store/sealing.ts';
import type { Store } from '../../src/store/store.ts';
import { newSealer } from './sample-changes.ts';
import type { StoreContract, StorePlace } from './store.ts';

/** Gives each test a store of its own and takes it away afterwards. */
export function ownStore(place: StoreContract['place']) {
  const stores: Store[] = [];
  const places: StorePlace[] = [];

  async function at(where: StorePlace, sealer: Sealer): Promise<Store> {
    const store = await where.open(sealer);
    stores.push(store);
    return store;
  }

  async function newPlace(): Promise<StorePlace> {
    const where = await place();
    places.push(where);
    return where;
  }

  afterEach(async () => {
    await Promise.all(stores.splice(0).map((store) => store.close()));
    await Promise.all(places.splice(0).map((where) => where.remove()));
  });

  return {
    newPlace,
    at,
    async open(): Promise<Store> {
      return at(await newPlace(), newSealer());
    },
  };
}
