// Curves out of recordings: files put beside the job, read, and laid over; what
// is spoilt is named. The test recording is its own recording: playing what is
// recorded gives a flat curve.

import assert from 'node:assert/strict'
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, readdir, rm, writeFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { after, before, test } from 'node:test'
import { promisify } from 'node:util'
import { browse, open, picture, program, serve, until } from './stage.mjs'

const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const run = promisify(execFile)
const looks = [
  ['light', { colorScheme: 'light', viewport: { width: 1280, height: 900 } }],
  ['phone', { colorScheme: 'light', viewport: { width: 375, height: 740 }, hasTouch: true, isMobile: true }],
  ['phone-dark', { colorScheme: 'dark', viewport: { width: 375, height: 740 }, hasTouch: true, isMobile: true }],
]

let server, browser, folder, played, spoilt

before(async () => {
  server = await serve({ demo: true })
  browser = await browse()
  folder = await mkdtemp(path.join(tmpdir(), 'bandwright-recordings-'))
  played = path.join(folder, 'test.wav')
  await run(program, ['sweep', 'make', played, '--rate', '44100', '--length', '2s', '--silence', '0.5s', '--pause', '1s', '--set', 'flat', '--set', '400=+1'])
  const whole = await readFile(played)
  spoilt = path.join(folder, 'stopped.wav')
  await writeFile(spoilt, whole.subarray(0, Math.floor(whole.length * 0.7)))
})

after(async () => {
  await browser?.close()
  await server?.end()
  await rm(folder, { recursive: true, force: true })
})

async function toCurves(page) {
  await page.goto(server.address)
  await page.getByRole('button', { name: /^Open / }).first().click()
  await page.getByRole('navigation').getByRole('button', { name: 'Curves' }).click()
  await page.getByRole('heading', { name: 'Out of a recording' }).waitFor()
}

/** Puts files beside the job and waits until they are listed as what they are. */
async function put(page, button, files, is) {
  await page.locator(`input[type=file][aria-label="${button}"]`).setInputFiles(files)
  await until(async () => (await page.locator('select').evaluateAll((all, is) => all.filter((s) => s.value === is).length, is)) > 0, `nothing is ${is}`)
}

test('a recording is put, read and laid over, and one that is spoilt is named', async () => {
  const { context, page, complaints } = await open(browser, { viewport: { width: 1280, height: 900 } })
  await toCurves(page)
  await put(page, 'Choose recordings', played, 'recorded')
  await page.getByText('Needed: what was recorded, and the test recording that was played.').waitFor()
  // The same file is both: the recording is put again under a name of its own.
  const again = path.join(folder, 'played.wav')
  await writeFile(again, await readFile(played))
  await put(page, 'Choose the test recording', again, 'played')
  await page.getByLabel('generator’s ohms').fill('600 ohm')
  await page.getByRole('button', { name: 'Read', exact: true }).click()
  const table = page.getByRole('table', { name: 'The takes' })
  await table.waitFor()
  assert.deepEqual(await table.getByRole('rowheader').allTextContents(), ['take 1, flat', 'take 2, 400=+1'])
  assert.match(await table.getByRole('row').nth(1).textContent(), /-?0\.0\d dB/)
  await page.getByLabel('of unit').last().fill('box')
  await page.getByRole('button', { name: 'Lay 2 takes over' }).click()
  await page.getByRole('radio', { name: 'Show take 1, flat' }).waitFor()
  await page.getByRole('radio', { name: 'Show take 2, 400=+1' }).waitFor()
  await page.getByRole('status').filter({ hasText: /^saved$/ }).waitFor()

  // The files are those that the command writes.
  const job = path.join(server.folder, 'bass-head')
  await run(program, ['sweep', 'read', 'test.wav', '--played', 'played.wav', '--generator', '600 ohm', '--out', path.join(folder, 'out')], { cwd: job })
  const names = (await readdir(path.join(folder, 'out'))).sort()
  assert.deepEqual(names, ['01-flat.csv', '02-400-up-1.csv'])
  for (const name of names) {
    assert.equal(await readFile(path.join(job, name), 'utf8'), await readFile(path.join(folder, 'out', name), 'utf8'))
  }
  const text = await readFile(path.join(job, 'job.toml'), 'utf8')
  assert.match(text, /file = "02-400-up-1\.csv"/)

  // One undo takes both back.
  await page.getByRole('button', { name: /^Undo/ }).click()
  await until(async () => (await page.getByRole('radio', { name: /^Show take/ }).count()) === 0, 'the takes are still there')

  // What is cut short is named; the take before it stands.
  await page.getByLabel('What test.wav is').selectOption('none')
  await put(page, 'Choose recordings', spoilt, 'recorded')
  await page.getByText('Something was changed since this was read.').waitFor()
  await page.getByRole('button', { name: 'Read again' }).click()
  await page.getByText(/The recording ends at/).waitFor()
  assert.deepEqual(await table.getByRole('rowheader').allTextContents(), ['take 1, flat'])
  assert.deepEqual(complaints, [])
  await context.close()
})

test('another recording of the same name and length is kept beside the first', async () => {
  const { context, page, complaints } = await open(browser, { viewport: { width: 1280, height: 900 } })
  await toCurves(page)
  const bytes = await readFile(played)
  bytes[bytes.length - 1] ^= 1
  const other = path.join(await mkdtemp(path.join(folder, 'other-')), 'test.wav')
  await writeFile(other, bytes)
  await put(page, 'Choose recordings', other, 'recorded')
  await page.getByLabel('What test-2.wav is').waitFor()
  await put(page, 'Choose recordings', other, 'recorded')
  await page.getByLabel('What test-2.wav is').waitFor()
  assert.equal(await page.getByLabel('What test-3.wav is').count(), 0)
  assert.deepEqual(complaints.filter((c) => !c.includes('409 (Conflict)')), [])
  await context.close()
})

/** What is lower than a finger in the section; a box counts with its label. */
const low = (page) =>
  page.getByRole('region', { name: 'Out of a recording', exact: true }).evaluate((section) =>
    [...section.querySelectorAll('button, select, summary, input, .row > a')]
      .filter((t) => t.checkVisibility() && t.type !== 'file' && Math.max(...[t, ...(t.labels ?? [])].map((e) => e.getBoundingClientRect().height)) < 43.5)
      .map((t) => `${t.tagName} ${t.ariaLabel ?? t.textContent}`))

for (const [look, options] of looks) {
  test(`the step with everything open, ${look}`, async () => {
    const { context, page, complaints } = await open(browser, options)
    await toCurves(page)
    await put(page, 'Choose recordings', played, 'recorded')
    await put(page, 'Choose the test recording', path.join(folder, 'played.wav'), 'played')
    await page.getByLabel('take off', { exact: true }).waitFor({ state: 'attached' })
    await page.getByText('More: loading, mains, what is taken off').click()
    await page.getByText('What to record', { exact: true }).click()
    await page.getByRole('table', { name: 'Takes, in the order of least work' }).waitFor()
    await page.getByRole('button', { name: 'Read', exact: true }).click()
    await page.getByRole('table', { name: 'The takes' }).waitFor()
    await page.getByText('Nobody has said through how many ohms the amp was fed.').waitFor()
    await picture(page, `recordings-${look}`)
    await page.evaluate(axe)
    const found = await page.evaluate(() => globalThis.axe.run(document, { iframes: false, resultTypes: ['violations'] }))
    assert.deepEqual(found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')} – ${n.failureSummary}`)), [])
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0, 'the page runs off the side')
    if (options.hasTouch) assert.deepEqual(await low(page), [], 'too low for a finger')
    assert.deepEqual(complaints, [])
    await context.close()
  })
}
