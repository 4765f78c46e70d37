/** The viewer's place in the card: its stage, its buttons, what it says, and the script that brings it to life. */
import { html, NO_MARKUP, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { VIEWER_SCRIPT } from './viewer-script.js';

/** Unpacks the script and runs it; a browser that cannot keeps the still pictures. */
const START = `(async () => {
  if (!('DecompressionStream' in window)) return;
  const packed = document.getElementById('viewer-script').textContent.trim();
  const signs = atob(packed);
  const bytes = new Uint8Array(signs.length);
  for (let i = 0; i < signs.length; i++) bytes[i] = signs.charCodeAt(i);
  const inflate = new DecompressionStream('deflate-raw');
  const writer = inflate.writable.getWriter();
  writer.write(bytes);
  writer.close();
  const script = document.createElement('script');
  script.textContent = await new Response(inflate.readable).text();
  document.body.append(script);
})();`;

/** The stage, hidden until its script has found that it can draw. */
export function viewer(job: MouldCardJob): Markup {
  const { scene } = job;
  if (!scene) return NO_MARKUP;
  const ways = scene.ways.map(
    ({ rank }, i) => html`<option value="${i}">${rank === 0 ? 'the way you chose' : `way ${rank}`}</option>`,
  );
  return html`<section id="viewer" class="viewer" aria-label="Turn the pattern" hidden>
    <canvas
      id="viewer-stage"
      tabindex="0"
      role="img"
      aria-label="The pattern as a solid to turn. Arrow keys turn it, plus and minus zoom, Enter measures the middle of the picture."
    ></canvas>
    <p id="viewer-says" class="says" role="status">
      Drag to turn. Tap the pattern for its draft, its height over the joint and the metal behind.
    </p>
    <div class="controls">
      <button type="button" id="viewer-lift">Lift the cope</button>
      <button type="button" id="viewer-draw">Draw the pattern</button>
      <button type="button" id="viewer-back">Put back</button>
      <label
        >Joint
        <select id="viewer-joint">
          <option value="flat">flat</option>
          <option value="followed">coped down to the pattern</option>
        </select></label
      >
      <label
        >Colours
        <select id="viewer-map">
          <option value="halves">which half it leaves with</option>
          <option value="draft">draft</option>
          <option value="heights">height over the joint</option>
        </select></label
      >
      <label
        >Laid
        <select id="viewer-way">
          ${ways}
        </select></label
      >
      <label class="bar">Cut it off at <input type="range" id="viewer-cut" min="0" max="200" value="200" /></label>
    </div>
    <ul class="legend" id="viewer-legend"></ul>
  </section>`;
}

/** What the viewer works from, and its script; last in the page, so that the stills are there first. */
export function viewerScripts(job: MouldCardJob): Markup {
  const { scene, show } = job;
  if (!scene) return NO_MARKUP;
  const { above, below, toWall } = job.mould.sand.margins;
  const { requiredDeg } = job.mould.candidate.assessment.draft;
  const data = {
    scene,
    show,
    requiredDeg: requiredDeg > 0 ? requiredDeg : 1,
    sand: { above: above.value, below: below.value, toWall: toWall.value },
  };
  // A text that closes the element early cannot occur: every < is written as an escape.
  const json = JSON.stringify(data).replace(/</g, '\\u003c');
  return html`<script type="application/json" id="viewer-data">
      ${{ html: json }}
    </script>
    <script type="text/plain" id="viewer-script">
      ${{ html: VIEWER_SCRIPT }}
    </script>
    <script>
      ${{ html: START }};
    </script>`;
}
