/** One thing that the line told the network to do. */
export type Verb =
  /** `statusCallback`: where to tell what became of it; undefined: nowhere. */
  | { readonly kind: 'message'; readonly text: string; readonly statusCallback?: string }
  | { readonly kind: 'say'; readonly text: string; readonly language: string | undefined }
  | {
      readonly kind: 'gather';
      readonly action: string;
      /** How many keys end the answer; undefined: any number. */
      readonly numDigits: number | undefined;
      /** The key that ends the answer and is not part of it; empty: none. */
      readonly finishOnKey: string;
      readonly timeoutSeconds: number;
      readonly actionOnEmptyResult: boolean;
      readonly says: readonly (Verb & { readonly kind: 'say' })[];
    }
  | {
      readonly kind: 'dial';
      readonly number: string;
      /** What the called phone is shown. */
      readonly callerId: string;
      readonly action: string;
      readonly timeoutSeconds: number;
    }
  | { readonly kind: 'reject'; readonly reason: string }
  | { readonly kind: 'hangup' };

/**
 * Reads the eight elements that the line uses: Response, Message, Say, Gather, Dial, Number, Reject, Hangup. Strict: anything else is an
 * error, so that the practice phone never shows what a carrier would not do.
 * @throws SyntaxError naming the place, when the document is not well formed or holds something else
 */
export function readTwiml(document: string): readonly Verb[] {
  const root = readElement(document.replace(/^\s*<\?xml[^>]*\?>/, '').trim());
  if (root.name !== 'Response')
    throw new SyntaxError(`The reply begins with ${root.name}, not with Response.`);
  return elementsOf(root).map(verb);
}

interface Element {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: (Element | string)[];
}

function verb(element: Element): Verb {
  const attribute = (name: string) => element.attributes.get(name);
  switch (element.name) {
    case 'Message': {
      const statusCallback = attribute('statusCallback');
      const text = textOf(element);
      return { kind: 'message', text, ...(statusCallback === undefined ? {} : { statusCallback }) };
    }
    case 'Say':
      return { kind: 'say', text: textOf(element), language: attribute('language') };
    case 'Gather':
      return {
        kind: 'gather',
        action: attribute('action') ?? '',
        numDigits: attribute('numDigits') === undefined ? undefined : wholeNumber(element, 'numDigits'),
        finishOnKey: attribute('finishOnKey') ?? '#',
        timeoutSeconds: attribute('timeout') === undefined ? 5 : wholeNumber(element, 'timeout'),
        actionOnEmptyResult: attribute('actionOnEmptyResult') === 'true',
        says: elementsOf(element).map((child) => {
          const inner = verb(child);
          if (inner.kind !== 'say') throw new SyntaxError(`${child.name} cannot stand in Gather.`);
          return inner;
        }),
      };
    case 'Dial': {
      const [number, ...more] = elementsOf(element);
      if (number?.name !== 'Number' || more.length > 0) throw new SyntaxError('Dial must hold one Number.');
      return {
        kind: 'dial',
        number: textOf(number),
        callerId: attribute('callerId') ?? '',
        action: attribute('action') ?? '',
        timeoutSeconds: attribute('timeout') === undefined ? 30 : wholeNumber(element, 'timeout'),
      };
    }
    case 'Reject':
      return { kind: 'reject', reason: attribute('reason') ?? 'rejected' };
    case 'Hangup':
      return { kind: 'hangup' };
    default:
      throw new SyntaxError(`The practice network does not know the element ${element.name}.`);
  }
}

function wholeNumber(element: Element, name: string): number {
  const value = element.attributes.get(name) ?? '';
  if (!/^\d{1,4}$/.test(value)) throw new SyntaxError(`${element.name} has a ${name} that is no number.`);
  return Number(value);
}

function elementsOf(element: Element): readonly Element[] {
  return element.children.filter((child) => {
    if (typeof child !== 'string') return true;
    if (child.trim() !== '') throw new SyntaxError(`There is text in ${element.name}.`);
    return false;
  }) as readonly Element[]; // The strings were filtered out.
}

function textOf(element: Element): string {
  return element.children
    .map((child) => {
      if (typeof child !== 'string') throw new SyntaxError(`${child.name} cannot stand in ${element.name}.`);
      return child;
    })
    .join('');
}

const token = /<(\/?)([A-Za-z]+)((?:\s+[A-Za-z]+="[^"<]*")*)\s*(\/?)>|([^<]+)/gy;

function readElement(xml: string): Element {
  const open: Element[] = [];
  token.lastIndex = 0;
  for (let at = 0; at < xml.length; at = token.lastIndex) {
    token.lastIndex = at;
    const found = token.exec(xml);
    if (found === null) throw new SyntaxError(`The reply cannot be read at letter ${at}.`);
    const [whole, closing, name = '', attributes = '', empty, text] = found;
    const parent = open.at(-1);
    if (text !== undefined) {
      if (parent === undefined) throw new SyntaxError('The reply has text outside of its element.');
      parent.children.push(unescaped(text));
      continue;
    }
    if (closing === '/') {
      if (parent?.name !== name) throw new SyntaxError(`The reply closes ${name}, which is not open.`);
      if (open.length === 1) return whole.length + at === xml.length ? parent : trailing(at);
      open.pop();
      continue;
    }
    const element: Element = { name, attributes: attributesOf(attributes), children: [] };
    parent?.children.push(element);
    if (empty !== '/') open.push(element);
    else if (parent === undefined) return whole.length + at === xml.length ? element : trailing(at);
  }
  throw new SyntaxError('The reply ends before its element is closed.');
}

function trailing(at: number): never {
  throw new SyntaxError(`The reply goes on after its end, at letter ${at}.`);
}

function attributesOf(text: string): ReadonlyMap<string, string> {
  const attributes = new Map<string, string>();
  for (const [, name = '', value = ''] of text.matchAll(/([A-Za-z]+)="([^"]*)"/g)) {
    attributes.set(name, unescaped(value));
  }
  return attributes;
}

const named: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

function unescaped(text: string): string {
  return text.replace(/&(?:#x([0-9a-f]{1,6})|#(\d{1,7})|([a-z]+));|&/gi, (whole, hex, decimal, name) => {
    if (typeof hex === 'string') return String.fromCodePoint(Number.parseInt(hex, 16));
    if (typeof decimal === 'string') return String.fromCodePoint(Number(decimal));
    const letter = typeof name === 'string' && Object.hasOwn(named, name) ? named[name] : undefined;
    if (letter === undefined) throw new SyntaxError(`The reply has the unknown entity ${whole}.`);
    return letter;
  });
}
