// What .ci/page-check does in a browser: for each page named, at two widths, light and dark.
import fs from 'node:fs';
import path from 'node:path';
import puppeteer from 'puppeteer-core';
import { createRequire } from 'node:module';

const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const browser = await puppeteer.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
});

// In the page: words of a picture whose boxes touch, and what is wider than the window.
function layout() {
  const found = [];
  const over = document.documentElement.scrollWidth - window.innerWidth;
  if (over > 0) found.push(`the page is ${over} px wider than the window`);
  for (const svg of document.querySelectorAll('svg')) {
    const frame = svg.getBoundingClientRect();
    const words = [...svg.querySelectorAll('text')].map((text) => [text.textContent, text.getBoundingClientRect()]);
    words.forEach(([name, box], n) => {
      if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.bottom > frame.bottom + 1) {
        found.push(`"${name}" leaves its picture`);
      }
      // A box has the height of a whole line; letters touch when a third of it is shared.
      const inner = box.height / 3;
      for (const [other, there] of words.slice(n + 1)) {
        const across = Math.min(box.right, there.right) - Math.max(box.left, there.left);
        const down = Math.min(box.bottom, there.bottom) - Math.max(box.top, there.top);
        if (across > 0 && down > inner) found.push(`"${name}" and "${other}" touch`);
      }
    });
  }
  return found;
}

let failures = 0;
for (const file of process.argv.slice(2)) {
  for (const width of [390, 1280]) {
    for (const scheme of ['light', 'dark']) {
      const page = await browser.newPage();
      await page.setBypassCSP(true);
      await page.setViewport({ width, height: 900 });
      await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
      await page.goto(`file://${path.resolve(file)}`);
      const found = await page.evaluate(layout);
      await page.evaluate(axe);
      const result = await page.evaluate(() => axe.run(document, { resultTypes: ['violations'] }));
      for (const broken of result.violations) {
        const nodes = broken.nodes.slice(0, 3).map((node) => node.target.join(' ')).join('; ');
        found.push(`${broken.id} (${broken.impact}): ${broken.help} at ${nodes}`);
      }
      for (const what of found) console.error(`${path.basename(file)} at ${width}, ${scheme}: ${what}`);
      failures += found.length;
      await page.close();
    }
  }
}
await browser.close();
console.log(failures === 0 ? 'nothing found' : `${failures} found`);
process.exit(failures === 0 ? 0 : 1);
