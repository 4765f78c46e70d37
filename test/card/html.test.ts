import { describe, expect, it } from 'vitest';
import { escapeHtml, html } from '../../packages/card/src/html.js';

describe('html', () => {
  it('escapes what is not markup of ours, and keeps what is', () => {
    const nasty = `<script>alert("1 & '2'")</script>`;
    const escaped = '&lt;script&gt;alert(&quot;1 &amp; &#39;2&#39;&quot;)&lt;/script&gt;';
    expect(escapeHtml(nasty)).toBe(escaped);
    const inner = html`<b title="${nasty}">${3}</b>`;
    expect(html`<p>${nasty}${inner}${[inner, inner]}</p>`.html).toBe(
      `<p>${escaped}${inner.html}${inner.html}${inner.html}</p>`,
    );
    expect(inner.html).toBe(`<b title="${escaped}">3</b>`);
  });
});
