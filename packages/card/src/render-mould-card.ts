/** The mould card: one page that opens from disk, prints on paper, and needs nothing else. */
import { convertSentence, resolveOptions } from '@oddside/core';
import { CARD_STYLE } from './card-style.js';
import { ladder } from './draw-ladder.js';
import { html, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { cures, glance, otherFindings, problems } from './show-glance.js';
import { viewer, viewerScripts } from './show-viewer.js';
import { candidates, draftMaps, mouldDrawings, views } from './show-ways.js';
import { afterTable, melt, mouldTable, patternTable, pourTable, workings } from './show-work.js';

/** What {@link renderMouldCard} takes besides the job. */
export interface RenderMouldCardOptions {
  /** Put the viewer into the card, about 190 kB, where the job has a scene. Default true. */
  readonly viewer: boolean;
}

/** Defaults of {@link renderMouldCard}. */
export const RENDER_MOULD_CARD_DEFAULTS: RenderMouldCardOptions = Object.freeze({ viewer: true });

/**
 * Renders the card of a job, as planned or as read from its JSON.
 *
 * @returns A complete HTML page that needs no network: pictures and viewer are inside. Cost: a few ms.
 * @throws OddsideError `bad-option`.
 */
export function renderMouldCard(job: MouldCardJob, options?: Partial<RenderMouldCardOptions>): string {
  const given = resolveOptions('renderMouldCard', RENDER_MOULD_CARD_DEFAULTS, options);
  const shown = given.viewer ? job : { ...job, scene: undefined };
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>Mould card: ${job.pattern.name}</title>
        <style>
          ${{ html: CARD_STYLE }}
        </style>
      </head>
      <body>
        <main>
          <h1>${job.pattern.name}</h1>
          <p class="under">
            Mould card, ${job.alloyName}. Every number is an estimate with its error; lengths are of the pattern as
            rammed unless said.
          </p>
          <p class="banner">
            ${job.banner} Read <a href="#cautions">all ${job.cautions.length} cautions</a> before you light up.
          </p>
          ${glance(job)} ${problems(job)} ${cures(job)}
          ${part('lies', 'How it lies', html`${views(job)} ${viewer(shown)}`)}
          <div class="bench">
            ${part('pattern', 'Pattern', patternTable(job))} ${part('mould', 'Mould', mouldTable(job))}
            ${part('melt', 'Melt', melt(job))} ${part('pour', 'Pour', pourTable(job))}
            ${part('after', 'After', afterTable(job))}
          </div>
          ${part('drawn', 'The mould, drawn', mouldDrawings(job))} ${ladder(job)}
          ${part('compared', 'Ways to lay it, compared', candidates(job))} ${draftMaps(job)}
          <section class="part" id="cautions">
            <h2>Before you pour</h2>
            <ul class="cautions">
              ${job.cautions.map((caution) => html`<li>${convertSentence(caution.text, job.show)}</li>`)}
            </ul>
          </section>
          ${otherFindings(job)}
          <details class="part">
            <summary>Where the numbers come from</summary>
            ${workings(job)}
          </details>
        </main>
        ${viewerScripts(shown)}
      </body>
    </html> `;
  return page.html;
}

/** One part of the card under its heading. */
function part(name: string, title: string, content: Markup): Markup {
  return html`<section class="part ${name}">
    <h2>${title}</h2>
    ${content}
  </section>`;
}
