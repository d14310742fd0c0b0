// The pages of the submittal in a real browser: what they ask for, what they run, whether they can be read, filtered, sorted and
// printed. Called by tests/run with MOTORWRIGHT (the program) and, if it is not on the path, CHROMIUM.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { delimiter, dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { inflateSync } from "node:zlib";
import puppeteer from "puppeteer-core";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const program = resolve(process.env.MOTORWRIGHT ?? join(root, "target/debug/motorwright"));
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const folder = mkdtempSync(join(tmpdir(), "motorwright-pages-"));
const wrong = [];
let made = 0;

/** A check that is counted; what is wrong is said with its page. */
function check(page, right, what) {
  made += 1;
  if (!right) {
    wrong.push(`${page}: ${what}`);
  }
}

function browserPath() {
  if (process.env.CHROMIUM) {
    return process.env.CHROMIUM;
  }
  const names = ["chromium", "chromium-browser", "google-chrome-stable"];
  const found = (process.env.PATH ?? "").split(delimiter).flatMap((at) => names.map((name) => join(at, name))).find((at) => existsSync(at));
  if (!found) {
    throw new Error("no Chromium on the path: name it in CHROMIUM");
  }
  return found;
}

// Texts that mean harm: markup, an attribute that is ended, a formula, the end of a CDATA section, marks that turn the direction of
// writing, and a word that no line can hold.
const HOSTILE = [
  "<script>window.harm = 1</script></title></style>",
  '"><img src=x onerror="window.harm = 1">',
  "=cmd|' /C calc'!A0",
  "]]></svg><svg onload=window.harm=1>",
  "\u202e\u2067drawkcab\u200f",
  "W".repeat(10_000),
];

/** Columns that hold any text, from the document of columns. */
function textColumns() {
  const rows = readFileSync(join(root, "docs/columns.md"), "utf8").split("\n").map((line) => line.split("|").map((cell) => cell.trim()));
  return rows.filter((cells) => cells[2] === "text").map((cells) => cells[1]);
}

const quoted = (text) => `"${text.replaceAll('"', '""')}"`;

/** A schedule in which every column of text is hostile, and rows that are sized all the same because only words about them are. */
function hostileSchedule() {
  const about = ["description", "board", "section", "notes", "interlock_note", "feedback_note"];
  const texts = textColumns();
  const columns = ["tag", "load_kind", "rated_power_kw", "voltage_v", "phases", "full_load_current_a", "starting_method", "cable_length_m", ...texts];
  const rows = HOSTILE.flatMap((text, at) => {
    const first = [`${text} ${at}`, "motor", "7.5", "400", "3", "14.3", "direct", "40"];
    const all = texts.map(() => text);
    const some = texts.map((name) => (about.includes(name) ? text : ""));
    return [[...first, ...all], [`S-${at}`, ...first.slice(1), ...some]];
  });
  return [columns, ...rows].map((row) => row.map(quoted).join(",")).join("\n");
}

// Marks that turn the direction are refused in a basis; letters of another direction are not.
const hostileBasis = () => {
  const texts = [...HOSTILE.filter((text) => !text.includes("\u202e")), "\u05d0\u05d1\u05d2 <b>"];
  const own = (name, at) => `${name} = ${JSON.stringify(texts[at % texts.length])}\n`;
  const fields = ["name", "number", "client", "location", "prepared_by", "checked_by", "contractor", "engineer", "submittal_number", "revision"];
  const supply = "[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nprospective_fault_ka = 20\nprospective_fault_min_ka = 6\n";
  return `[project]\n${fields.map(own).join("")}[rules]\nbook = "iec"\n${supply}[report]\n`;
};

/** Runs the program on a schedule for a paper and gives the page. */
function pageOf(name, schedule, basis, paper) {
  const own = join(folder, `${name}-${paper}`);
  mkdirSync(own, { recursive: true });
  const files = [join(own, "schedule.csv"), join(own, "basis.toml")];
  const others = basis.replace(/^paper = .*\n/m, "");
  const text = /^\[report\]/m.test(others) ? others.replace(/^\[report\]/m, `[report]\npaper = "${paper}"`) : `${others}\n[report]\npaper = "${paper}"\n`;
  writeFileSync(files[0], schedule);
  writeFileSync(files[1], text);
  try {
    execFileSync(program, ["size", files[0], "--basis", files[1], "--out", join(own, "out")], { stdio: "pipe" });
  } catch (error) {
    // Rows that are not sized give a status of their own; only a run that writes nothing has failed.
    if (!existsSync(join(own, "out/submittal.html"))) {
      throw new Error(`${name}: ${error.stderr}`);
    }
  }
  return join(own, "out/submittal.html");
}

/** Opens a page and notes whatever it asks for or complains of. */
async function open(browser, name, file, { width = 1280, script = true } = {}) {
  const page = await browser.newPage();
  await page.setViewport({ width, height: 900 });
  await page.setJavaScriptEnabled(script);
  const address = pathToFileURL(file).href;
  page.on("console", (message) => check(name, !["error", "warn"].includes(message.type()), `the console says ${message.text()}`));
  page.on("pageerror", (error) => check(name, false, `the script fails: ${error.message}`));
  page.on("request", (request) => check(name, request.url().split("#")[0] === address, `it asks for ${request.url().slice(0, 200)}`));
  page.on("dialog", (dialog) => { check(name, false, "it opens a dialogue"); dialog.dismiss(); });
  await page.goto(address, { waitUntil: "load" });
  return page;
}

/** The policy lets nothing run, load or style that is not the page's own; a server of ours would see what got out. */
async function policyHolds(browser, name, file) {
  let asked = 0;
  const server = createServer((_, answer) => { asked += 1; answer.end(); });
  await new Promise((done) => { server.listen(0, "127.0.0.1", done); });
  const own = `http://127.0.0.1:${server.address().port}`;
  const page = await browser.newPage();
  await page.goto(pathToFileURL(file).href, { waitUntil: "load" });
  const refused = await page.evaluate(async (own) => {
    const seen = [];
    document.addEventListener("securitypolicyviolation", (event) => seen.push(event.effectiveDirective));
    const script = document.createElement("script");
    script.textContent = "window.harm = 1";
    const image = new Image();
    image.src = `${own}/x.png`;
    const styled = document.createElement("p");
    styled.setAttribute("style", "color: red");
    document.body.append(script, image, styled);
    await fetch(`${own}/y`).catch(() => 0);
    await new Promise((done) => setTimeout(done, 100));
    return { seen, harm: window.harm };
  }, own);
  const kinds = ["script-src", "img-src", "style-src", "connect-src"];
  check(name, kinds.every((kind) => refused.seen.some((own) => own.startsWith(kind))), `the policy refuses only ${refused.seen}`);
  check(name, refused.harm === undefined && asked === 0, `past the policy: ${asked} requests, ${refused.harm}`);
  await page.close();
  await new Promise((done) => { server.close(done); });
}

/** axe-core at a width; the words of the rule and the first place. Rows and sheets repeat themselves, so a part of them stands for all. */
async function accessible(page, name, colours = true) {
  await page.evaluate(axe);
  const found = await page.evaluate(async (colours) => {
    const spare = [
      ...[...document.querySelectorAll(".sheet")].filter((_, at) => at % 20 !== 0),
      ...[...document.querySelectorAll("tbody")].flatMap((body) => [...body.rows].slice(4)),
    ].filter((own) => !own.hidden);
    spare.forEach((own) => { own.hidden = true; });
    const result = await window.axe.run(document, { resultTypes: ["violations"], rules: { "color-contrast": { enabled: colours } } });
    spare.forEach((own) => { own.hidden = false; });
    return result.violations.map((own) => `${own.id} at ${own.nodes.length} places, first ${own.nodes[0].target.join(" ").slice(0, 160)}`);
  }, colours);
  check(name, found.length === 0, `axe: ${found.join("; ")}`);
}

/** Rows and sheets without the filter's word disappear; without it all are there again. */
async function filters(page, name) {
  const state = () => page.$$eval(".filtered", (all) => all.map((own) => ({ shown: own.getClientRects().length > 0, text: own.textContent.toLowerCase() })));
  const all = await state();
  check(name, all.length > 10 && all.every((own) => own.shown), "parts are hidden before anything is filtered");
  const word = await page.$eval("#schedule tr.filtered th", (head) => head.textContent.trim().toLowerCase());
  await page.type("#filter", word);
  const some = await state();
  check(name, some.every((own) => own.shown === own.text.includes(word)) && some.some((own) => !own.shown), `the filter for ${word} shows others`);
  const sheets = await page.$$eval(".sheet", (own) => [own.length, own.filter((sheet) => sheet.getClientRects().length > 0).length]);
  check(name, sheets[1] > 0 && sheets[1] < sheets[0], "the filter leaves all sheets or none");
  await page.$eval("#filter", (field) => { field.value = ""; field.dispatchEvent(new Event("input")); });
  check(name, (await state()).every((own) => own.shown), "parts stay hidden when the filter is empty");
}

/** A click on a head sorts within each board, up and then down, and says so; by keyboard too. */
async function sorts(page, name) {
  const heads = await page.$$("#schedule thead button");
  check(name, heads.length > 5, "heads have no buttons");
  const column = await page.$$eval("#schedule thead th", (own) => own.findIndex((head) => head.textContent.includes("current") || head.textContent.includes("FLC")));
  const at = column < 0 ? 3 : column;
  const read = () => page.$$eval("#schedule tbody", (bodies, column) => bodies.map((body) =>
    [...body.rows].slice(1).filter((row) => row.cells.length > column && row.cells[column].colSpan === 1).map((row) => parseFloat(row.cells[column].textContent.replace(/[\u202f\u00a0]/g, ""))).filter((own) => !Number.isNaN(own))), at);
  const before = await page.$$eval("#schedule tbody tr", (rows) => rows.length);
  const button = (await page.$$("#schedule thead th"))[at];
  await (await button.$("button")).focus();
  await page.keyboard.press("Enter");
  const up = await read();
  check(name, up.every((own) => own.every((value, index) => index === 0 || own[index - 1] <= value)), "it does not ascend");
  check(name, (await button.evaluate((own) => own.getAttribute("aria-sort"))) === "ascending", "it does not say that it ascends");
  await (await button.$("button")).click();
  const down = await read();
  check(name, down.every((own) => own.every((value, index) => index === 0 || own[index - 1] >= value)), "it does not descend");
  check(name, (await page.$$eval("#schedule tbody tr", (rows) => rows.length)) === before, "sorting loses rows");
  check(name, await page.$$eval("#schedule tbody", (bodies) => bodies.every((body) => body.rows[0].classList.contains("sec"))), "a board's name moved");
}

/** Section of all conductors of a size, mm²: wire gauges by their definition (0.005 in for 36 AWG, 0.46 in for 4/0, 39 equal steps), kcmil as they are; `2 × (3 × 350 kcmil (2 + N))` is six of them, a neutral of another size counts for nothing. NaN where a size is not understood. */
function section(text) {
  const phases = text.replace(/\s\(\d+ \+ N\)/, "").replace(/\s\+ N .*$/, "").replace(/[()]/g, "");
  const [size, ...counts] = phases.split(/\s×\s/).reverse();
  const gauge = size.match(/^(?:(\d)\/0|(\d+)) AWG$/);
  const kcmil = size.match(/^(\d+) kcmil$/);
  const steps = gauge && (gauge[1] ? 35 + Number(gauge[1]) : 36 - Number(gauge[2]));
  const each = gauge ? (Math.PI / 4) * (0.127 * 92 ** (steps / 39)) ** 2 : kcmil ? Number(kcmil[1]) * 0.50671 : Number(size);
  return counts.reduce((all, count) => all * Number(count), each);
}

/** The sections of sizes as pages bear them, against Table 8 of Chapter 9 of NFPA 70. */
function readsSizes(name) {
  for (const [text, mm2] of [["4/0 AWG", 107.2], ["2 × 12 AWG (1 + N)", 6.62], ["2 × 2 AWG (1 + N)", 67.2], ["4 × 6 AWG (3 + N)", 53.2], ["3 × 6 AWG + N 8 AWG", 39.9], ["2 × (3 × 350 kcmil)", 1064], ["2 × (4 × 350 kcmil (3 + N))", 1419], ["2 × 95", 190]]) {
    check(name, Math.abs(section(text) - mm2) < 0.005 * mm2, `${text} is read as ${section(text)} mm²`);
  }
  check(name, Number.isNaN(section("no size")), "words are read as a size");
}

/** Sizes of conductors sort by their section, whether they bear millimetres, gauges or circular mils. */
async function sortsSizes(page, name) {
  for (const table of ["#schedule", "#cables"]) {
    const heads = await page.$$eval(`${table} thead th`, (own) => own.map((head) => head.textContent));
    const at = heads.findIndex((head) => /^(Size|Phase|Conductors)/.test(head));
    check(name, at > 0, `${table} has no column of sizes`);
    const button = (await page.$$(`${table} thead th`))[at];
    for (const [turn, sign] of [["ascend", 1], ["descend", -1]]) {
      await (await button.$("button")).click();
      const bodies = await page.$$eval(`${table} tbody`, (bodies, at) => bodies.map((body) => [...body.rows]
        .filter((row) => !row.classList.contains("sec") && !row.querySelector(".again") && row.cells.length > at && row.cells[at].colSpan === 1)
        .map((row) => row.cells[at].textContent.trim().replaceAll("\u00a0", " ")).filter((own) => own !== "")), at);
      const unread = bodies.flat().filter((size) => Number.isNaN(section(size)));
      check(name, unread.length === 0, `${table} has sizes that nobody reads: ${unread.slice(0, 5).join(", ")}`);
      const wrong = bodies.find((sizes) => sizes.some((size, index) => index > 0 && sign * (section(size) - section(sizes[index - 1])) < -1e-6));
      check(name, wrong === undefined && bodies.some((sizes) => sizes.length > 0), `sizes of ${table} don't ${turn}: ${(wrong ?? []).slice(0, 12).join(", ")}`);
    }
  }
}

/** What is typed into the filter is for the screen: the print is the same, page by page. */
async function filteredPrintsWhole(browser, name, file) {
  const counts = [];
  for (const filtered of [false, true]) {
    const page = await open(browser, name, file);
    if (filtered) {
      const word = await page.$eval("#schedule tr.filtered th", (head) => head.textContent.trim());
      await page.type("#filter", word);
      check(name, await page.$$eval(".filtered", (all) => all.some((own) => own.getClientRects().length === 0)), "the filter hides nothing");
    }
    counts.push(glyphRuns(await printed(page)));
    await page.close();
  }
  const [all, some] = counts;
  check(name, all.length > 10 && all.length === some.length && all.every((own, at) => own === some[at]), `${all.length} pages print, ${some.length} while a filter is set`);
}

/** Without script everything shows, and no field or button pretends to work. */
async function withoutScript(browser, name, file) {
  const page = await open(browser, name, file, { script: false });
  const client = await page.createCDPSession();
  const { root: top } = await client.send("DOM.getDocument", { depth: 0 });
  const count = async (selector) => (await client.send("DOM.querySelectorAll", { nodeId: top.nodeId, selector })).nodeIds.length;
  check(name, (await count(".filtered[hidden]")) === 0 && (await count(".filtered")) > 10, "something is hidden without script");
  check(name, (await count("#filterbox[hidden]")) === 1 && (await count("thead button")) === 0, "controls show without script");
  await page.close();
}

const PAPERS = { a4: [210, 297, 173, 267], letter: [215.9, 279.4, 173, 249.4] };
const PIXELS = 96 / 25.4;

/** What runs over its box or over the width of its page, in the style of print. */
async function overflows(page, name, paper) {
  const [, , upright, lying] = PAPERS[paper];
  await page.emulateMediaType("print");
  for (const [width, selector] of [[upright, "section:not(.widepage)"], [lying, "section.widepage"]]) {
    await page.setViewport({ width: Math.round(width * PIXELS), height: 1000 });
    const found = await page.evaluate((selector, width) => {
      const said = [];
      const say = (own, what) => said.push(`${what}: ${own.tagName.toLowerCase()} ${own.className.baseVal ?? own.className} "${own.textContent.trim().slice(0, 40)}"`);
      for (const section of document.querySelectorAll(selector)) {
        for (const own of [section, ...section.querySelectorAll("*")]) {
          if (own instanceof SVGElement && !(own instanceof SVGSVGElement)) {
            continue;
          }
          if (own instanceof HTMLElement && own.clientWidth > 0 && own.scrollWidth > own.clientWidth + 1) {
            say(own, "wider than its box");
          }
          const box = own.getBoundingClientRect();
          if (box.width > 0 && (box.right > width + 1 || box.left < -1)) {
            say(own, "beyond the page");
          }
        }
      }
      return said;
    }, selector, Math.round(width * PIXELS));
    check(name, found.length === 0, `${found.length} on ${paper}, first ${found.slice(0, 3).join("; ")}`);
  }
  await page.emulateMediaType(null);
}

const printed = async (page) =>
  Buffer.from(await page.pdf({ preferCSSPageSize: true, printBackground: true, tagged: false, outline: false, timeout: 120_000 }));

/** How many runs of glyphs each page of a print shows, in the order of the file. */
function glyphRuns(pdf) {
  const counts = [];
  for (const own of pdf.toString("latin1").matchAll(/\/Filter \/FlateDecode[^>]*>>\s*stream\r?\n/g)) {
    try {
      const content = inflateSync(pdf.subarray(own.index + own[0].length), { finishFlush: 2 }).toString("latin1");
      if (/^[\d.]+ 0 0 -[\d.]+ 0 [\d.]+ cm/.test(content)) {
        counts.push(content.match(/ T[jJ]\b/g)?.length ?? 0);
      }
    } catch {
      // Fonts and pictures are no content of a page.
    }
  }
  return counts;
}

/** A print shows the same with the script as without it, the heads of tables on every page they run over included. */
async function printsTheSame(browser, name, file) {
  const counts = [];
  for (const script of [true, false]) {
    const page = await open(browser, name, file, { script });
    counts.push(glyphRuns(await printed(page)));
    await page.close();
  }
  const [scripted, plain] = counts;
  const apart = plain.flatMap((own, at) => (own === scripted[at] ? [] : [at + 1]));
  check(name, plain.length > 10 && plain.length === scripted.length && plain.every((own) => own > 0), `${scripted.length} pages print with script, ${plain.length} without`);
  check(name, apart.length === 0, `pages ${apart.slice(0, 10).join(", ")} print other text with the script than without it`);
}

/** Every head of a table says what it heads, and no picture is read aloud that says nothing. */
async function isMarkedUp(page, name) {
  const found = await page.evaluate(() => ({
    heads: [...document.querySelectorAll("th:not([scope])")].length,
    pictures: [...document.querySelectorAll("svg")].filter((svg) => !svg.closest("[aria-hidden=true]") && !svg.querySelector("title") && !svg.ariaLabel).length,
  }));
  check(name, found.heads === 0, `${found.heads} heads of tables without a scope`);
  check(name, found.pictures === 0, `${found.pictures} pictures that are neither hidden from readers nor named`);
}

/** A data sheet begins a page, and shares it only with those that fit whole. */
async function beginsPages(page, name) {
  await page.emulateMediaType("print");
  const wrong = await page.evaluate(() =>
    [...document.querySelectorAll(".sheet")]
      .filter((sheet) => !sheet.previousElementSibling?.matches("#sheets"))
      .filter((sheet) => {
        const style = getComputedStyle(sheet);
        const after = sheet.classList.contains("brief") && sheet.previousElementSibling?.classList.contains("brief");
        return after ? style.breakInside !== "avoid" : style.breakBefore !== "page";
      })
      .map((sheet) => sheet.id),
  );
  await page.emulateMediaType(null);
  check(name, wrong.length === 0, `sheets ${wrong.slice(0, 10).join(", ")} do not begin a page`);
}

/** Pages of a print: their number and sizes, and whether the browser shrank them to fit something too wide. */
async function prints(page, name, paper, circuits) {
  await page.setViewport({ width: 1280, height: 900 });
  const pdf = await printed(page);
  const text = pdf.toString("latin1");
  const [short, long] = PAPERS[paper].map((side) => (side * 72) / 25.4);
  const boxes = [...text.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)].map((own) => [Number(own[1]), Number(own[2])].sort((a, b) => a - b));
  check(name, boxes.every(([a, b]) => Math.abs(a - short) < 1.5 && Math.abs(b - long) < 1.5), `a page is not ${paper}`);
  check(name, boxes.length >= circuits / 2 + 5 && boxes.length <= 6 * circuits + 40, `${boxes.length} pages for ${circuits} circuits`);
  // The first operator of a page's content scales from the page's pixels to points: 0.24 at the printer's 300 dots an inch, less if shrunk.
  const scales = new Set();
  for (const own of text.matchAll(/\/Filter \/FlateDecode[^>]*>>\s*stream\r?\n/g)) {
    try {
      const content = inflateSync(pdf.subarray(own.index + own[0].length), { finishFlush: 2 }).toString("latin1", 0, 400);
      const scale = content.match(/^([\d.]+) 0 0 -\1 0 [\d.]+ cm/);
      const further = content.match(/\n([\d.]+) 0 0 \1 [\d.-]+ [\d.-]+ cm/);
      if (scale) {
        scales.add((Number(scale[1]) * Number(further?.[1] ?? 1)).toFixed(3));
      }
    } catch {
      // Fonts and pictures are no content of a page.
    }
  }
  check(name, scales.size === 1 && scales.has("0.750"), `pages are scaled by ${[...scales].join(", ")} on ${paper}`);
  return boxes.length;
}

async function checkDesign(browser, name, file, paper, whole) {
  let last = Date.now();
  const lap = (what) => { if (process.env.LAPS) { console.log(`    ${what} ${Date.now() - last} ms`); } last = Date.now(); };
  const circuits = JSON.parse(readFileSync(join(dirname(file), "design.json"), "utf8")).circuits.length;
  const page = await open(browser, name, file);
  check(name, (await page.evaluate(() => window.harm)) === undefined, "text of the schedule ran as script");
  if (whole) {
    await policyHolds(browser, name, file); lap("policy");
    await accessible(page, `${name}, 1280 px`); lap("axe");
    await isMarkedUp(page, name); lap("marks");
    await beginsPages(page, name); lap("pages");
    await filters(page, name); lap("filter");
    await sorts(page, name); lap("sort");
    if (name !== "hostile") {
      readsSizes(name);
      await sortsSizes(page, name); lap("sizes");
    }
    await withoutScript(browser, name, file); lap("noscript");
    await printsTheSame(browser, name, file); lap("heads");
    await filteredPrintsWhole(browser, name, file); lap("filtered print");
  }
  await overflows(page, name, paper); lap("overflow");
  const pages = await prints(page, name, paper, circuits); lap("print");
  await page.close();
  if (whole) {
    const phone = await open(browser, `${name}, 390 px`, file, { width: 390 });
    // Colours are those of the wide screen.
    await accessible(phone, `${name}, 390 px`, false); lap("phone");
    const wide = await phone.evaluate(() => document.documentElement.scrollWidth);
    check(name, wide <= 390, `the page is ${wide} px wide on a screen of 390`);
    const beyond = await phone.$$eval(".points td", (all) => all.filter((own) => own.getBoundingClientRect().right > 391).length);
    check(name, beyond === 0, `${beyond} cells of the questions are beyond a screen of 390`);
    await phone.close();
  }
  return pages;
}

/** The heading and every fourth row: enough for a second paper. */
const thinned = (schedule) => schedule.split("\n").filter((_, at) => at === 0 || at % 4 === 1).join("\n");

const example = (name) => ["csv", "toml"].map((ending) => readFileSync(join(root, `example-schedules/${name}.${ending}`), "utf8"));
const designs = [
  ["water-works", ...example("water-works"), ["a4", "letter"]],
  ["hospital-hvac", ...example("hospital-hvac"), ["letter", "a4"]],
  ["pumping-station", ...example("pumping-station"), ["a4", "letter"]],
  ["hostile", hostileSchedule(), hostileBasis(), ["a4", "letter"]],
];
const browser = await puppeteer.launch({ executablePath: browserPath(), args: [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), "--disable-gpu", "--force-device-scale-factor=1"] });
try {
  for (const [name, schedule, basis, papers] of designs) {
    for (const [at, paper] of papers.entries()) {
      const begun = Date.now();
      const pages = await checkDesign(browser, name, pageOf(name, at === 0 || name === "hostile" ? schedule : thinned(schedule), basis, paper), paper, at === 0);
      console.log(`${name} on ${paper}: ${pages} pages, ${((Date.now() - begun) / 1000).toFixed(1)} s`);
    }
  }
} finally {
  await browser.close();
  if (!process.env.KEEP) {
    rmSync(folder, { recursive: true, force: true });
  }
}
console.log(`${made} checks in a browser, ${wrong.length} failed`);
for (const line of wrong.slice(0, 40)) {
  console.log(`  ${line}`);
}
process.exit(wrong.length === 0 ? 0 : 1);
