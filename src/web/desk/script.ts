/**
 * Live updates, for browsers that run scripts. Everything works without it. The markup that arrives is the server's own, with
 * every value escaped there.
 */
export const script = `
'use strict';
const part = document.querySelector('[data-live]');
if (part !== null && 'EventSource' in window) {
  const source = new EventSource(part.dataset.live);
  source.addEventListener('list', (event) => {
    const inside = part.contains(document.activeElement) ? document.activeElement.id : '';
    const open = [...part.querySelectorAll('details[open]')].map((each) => each.id);
    part.innerHTML = JSON.parse(event.data).html;
    for (const id of open) document.getElementById(id)?.setAttribute('open', '');
    if (inside !== '') document.getElementById(inside)?.focus();
  });
  source.addEventListener('news', () => {
    document.getElementById('news').hidden = false;
  });
  source.addEventListener('signed-out', () => {
    source.close();
    location.assign('/desk/sign-in');
  });
}
`;
