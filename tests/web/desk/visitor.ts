/** A browser without scripts: it keeps cookies, follows redirects, and sends the forms of the page it is on. */
export class Visitor {
  readonly cookies = new Map<string, string>();
  /** As the server set them, with their attributes. */
  readonly setCookies: string[] = [];
  page = '';
  status = 0;
  /** Path of the page it is on, with its query. */
  path = '';
  headers = new Headers();
  readonly #base: string;
  constructor(base: string) {
    this.#base = base;
  }

  get(path: string, headers: Readonly<Record<string, string>> = {}): Promise<this> {
    return this.#go(path, { headers });
  }

  /** Sends the form with that action on the page, with its hidden fields; `fields` are typed over them. */
  send(
    action: string,
    fields: Readonly<Record<string, string>>,
    headers: Readonly<Record<string, string>> = {},
  ): Promise<this> {
    return this.post(action, { ...this.hidden(action), ...fields }, headers);
  }

  /** Sends fields as given, with whatever cookies there are. */
  post(
    path: string,
    fields: Readonly<Record<string, string>>,
    headers: Readonly<Record<string, string>> = {},
  ): Promise<this> {
    return this.#go(path, { method: 'POST', body: new URLSearchParams(fields), headers });
  }

  /** Hidden fields of the first form with that action. */
  hidden(action: string): Readonly<Record<string, string>> {
    const form = this.page.split('<form').find((part) => part.includes(`action="${action}"`)) ?? '';
    const fields = form.matchAll(/<input type="hidden" name="([^"]*)" value="([^"]*)"/g);
    return Object.fromEntries([...fields].map(([, name = '', value = '']) => [name, value]));
  }

  /** The page as it is read, without markup. */
  get words(): string {
    return this.page
      .replace(/<[^>]*>/g, ' ')
      .replace(/&amp;/g, '&')
      .replace(/\s+/g, ' ');
  }

  async #go(path: string, request: RequestInit): Promise<this> {
    const cookie = [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
    const response = await fetch(this.#base + path, {
      ...request,
      redirect: 'manual',
      headers: { ...request.headers, ...(cookie === '' ? {} : { cookie }) },
    });
    for (const set of response.headers.getSetCookie()) {
      this.setCookies.push(set);
      const [pair = ''] = set.split(';');
      const name = pair.slice(0, pair.indexOf('='));
      const value = pair.slice(name.length + 1);
      if (value === '') this.cookies.delete(name);
      else this.cookies.set(name, value);
    }
    const to = response.headers.get('location');
    if (to !== null) {
      await response.arrayBuffer();
      return this.#go(to, {});
    }
    [this.status, this.path, this.headers] = [response.status, path, response.headers];
    this.page = await response.text();
    return this;
  }
}
