// @ts-check
// The page: takes a dropped file, hands it to the worker, shows how far it is, and shows the card.

/** The worker's code, put here by build.mjs. */
const WORKER = globalThis.ODDSIDE_WORKER;

/**
 * @template {HTMLElement} [T=HTMLElement]
 * @param {string} id
 * @returns {T}
 */
const get = (id) => /** @type {T} */ (document.getElementById(id));

const worker = new Worker(URL.createObjectURL(new Blob([WORKER], { type: 'text/javascript' })));
const progress = /** @type {HTMLProgressElement} */ (get('progress'));
const fileInput = /** @type {HTMLInputElement} */ (get('file'));
const valueOf = (/** @type {string} */ id) => /** @type {HTMLSelectElement} */ (get(id)).value;
const say = (/** @type {string} */ text) => void (get('says').textContent = text);
/** @type {string[]} */
let kept = [];

worker.addEventListener('message', ({ data }) => {
  if (data.alloys) {
    for (const { id, name } of data.alloys) get('alloy').append(new Option(name, id, id === 'bz95_5', id === 'bz95_5'));
    say('Ready.');
    return;
  }
  if (data.fraction !== undefined) {
    progress.value = data.fraction;
    return;
  }
  get('working').hidden = true;
  if (data.cancelled) say('Cancelled. Drop another scan.');
  else if (data.error) say(data.error);
  else show(data);
});
worker.addEventListener('error', (event) => {
  get('working').hidden = true;
  say(`The plan stopped: ${event.message}`);
});

/** @param {{ card: string, job: string, name: string }} made */
function show({ card, job, name }) {
  for (const url of kept) URL.revokeObjectURL(url);
  const keep = (/** @type {string} */ text, /** @type {string} */ type) => {
    const url = URL.createObjectURL(new Blob([text], { type }));
    kept.push(url);
    return url;
  };
  kept = [];
  const files = /** @type {const} */ ([
    ['save-card', `${name}-mould-card.html`, keep(card, 'text/html')],
    ['save-job', `${name}-job.json`, keep(job, 'application/json')],
  ]);
  for (const [id, download, href] of files) Object.assign(get(id), { download, href });
  /** @type {HTMLIFrameElement} */ (get('card')).srcdoc = card;
  get('result').hidden = false;
  say(`Planned: ${name}.`);
}

/** @param {File | undefined} file */
async function plan(file) {
  if (!file) return;
  get('result').hidden = true;
  get('working').hidden = false;
  progress.value = 0;
  say(`Planning ${file.name} …`);
  const bytes = await file.arrayBuffer();
  const options = { alloy: valueOf('alloy'), unit: valueOf('unit'), meshIs: valueOf('mesh-is'), show: valueOf('show') };
  worker.postMessage({ plan: { bytes, name: file.name, options } }, [bytes]);
}

const drop = get('drop');
drop.addEventListener('dragover', (event) => {
  event.preventDefault();
  drop.classList.add('over');
});
drop.addEventListener('dragleave', () => drop.classList.remove('over'));
drop.addEventListener('drop', (event) => {
  event.preventDefault();
  drop.classList.remove('over');
  void plan(event.dataTransfer?.files[0]);
});
fileInput.addEventListener('change', () => {
  void plan(fileInput.files?.[0]);
  fileInput.value = '';
});
get('cancel').addEventListener('click', () => worker.postMessage({ cancel: true }, []));
