/** HTML text without surprises: everything that is not markup of ours is escaped. */

/** Markup that is safe to put in a page as it is. */
export interface Markup {
  readonly html: string;
}

const ENTITIES: Readonly<Record<string, string>> = Object.freeze({
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
});

/** Escapes text for an element or a quoted attribute. */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => ENTITIES[sign]);
}

/** A template tag: values are escaped, markup and lists of markup are kept. */
export function html(
  texts: TemplateStringsArray,
  ...values: readonly (string | number | Markup | readonly Markup[])[]
): Markup {
  let out = texts[0];
  for (const [i, value] of values.entries()) {
    if (typeof value === 'string' || typeof value === 'number') out += escapeHtml(String(value));
    else if (Array.isArray(value)) for (const part of value as readonly Markup[]) out += part.html;
    else out += (value as Markup).html;
    out += texts[i + 1];
  }
  return { html: out };
}

/** Nothing. */
export const NO_MARKUP: Markup = Object.freeze({ html: '' });
