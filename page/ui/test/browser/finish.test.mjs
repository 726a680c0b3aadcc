// What comes last on a job: the metal is drawn, a unit is trimmed, the amp goes
// back with its record. Walked as a person does it, on a copy of the demo.

import assert from 'node:assert/strict'
import { readdir, readFile } from 'node:fs/promises'
import path from 'node:path'
import { after, before, test } from 'node:test'
import { browse, open, serve } from './stage.mjs'

let server, browser, context, page, complaints

before(async () => {
  server = await serve({ demo: true })
  browser = await browse()
  ;({ context, page, complaints } = await open(browser, { viewport: { width: 1280, height: 900 } }))
  await page.goto(server.address)
  await page.getByRole('button', { name: /^Open / }).first().click()
})

after(async () => {
  await context?.close()
  await browser?.close()
  await server?.end()
})

const step = (name) => page.getByRole('navigation').getByRole('button', { name }).click()
const kept = () => readFile(path.join(server.folder, 'bass-head', 'job.toml'), 'utf8')

/** The first bytes of what a link gives. */
const taken = (link, count) =>
  link.evaluate(async (a, n) => {
    const answer = await fetch(a.href)
    return answer.status + String.fromCharCode(...new Uint8Array(await answer.arrayBuffer()).slice(0, n))
  }, count)

test('a unit is explained and fitted, and its trims are kept in a copy', async () => {
  await step('Curves')
  await page.getByRole('radio', { name: 'B', exact: true }).check()
  await page.getByRole('listitem').filter({ hasText: /^400 sits 5\.\d % high: .* from the coil/ }).waitFor()
  await page.getByRole('button', { name: 'Find the values' }).click()
  await page.getByRole('table', { name: /^As found/ }).getByRole('rowheader', { name: '6300' }).waitFor()
  await page.getByRole('button', { name: 'Find the trims' }).click()
  await page.getByRole('listitem').filter({ hasText: /^400: put .* across 400\.capacitor/ }).waitFor()
  const before = await kept()
  await page.getByRole('button', { name: 'Keep it in a copy of the job' }).click()
  await page.getByRole('button', { name: 'Open the copy' }).waitFor()
  assert.equal(await kept(), before)
  const [copy] = (await readdir(server.folder)).filter((name) => !name.startsWith('.') && name !== 'bass-head')
  const text = await readFile(path.join(server.folder, copy, 'job.toml'), 'utf8')
  assert.match(text, /^title = ".*, unit B trimmed"$/m)
  assert.doesNotMatch(text, /hand LCR meter/)
})

test('a panel is begun with all it needs, drawn, and taken away', async () => {
  await step('Boards')
  const begin = page.getByRole('button', { name: 'Draw the panel' })
  await begin.waitFor()
  assert.equal(await begin.isDisabled(), true)
  for (const [label, text] of [
    ['width', '200 mm'], ['height', '80 mm'], ['thickness', '1.5 mm'], ['first slider, from the left edge', '45 mm'],
    ['from slider to slider', '22 mm'], ['middle of the travel, from the upper edge', '36 mm'],
    ['lever, along the travel', '4 mm'], ['width of the slots', '2 mm'],
  ]) {
    await page.locator('form', { has: begin }).getByLabel(label, { exact: true }).fill(text)
  }
  await begin.click()
  await page.getByRole('table', { name: /^Drill in this order/ }).waitFor()
  await page.getByText('Lengths of the panel').click()
  for (const [form, begins] of [['PDF', '%PDF-'], ['SVG', '<svg '], ['DXF', '  0']]) {
    const link = page.getByRole('link', { name: `${form}: Template` })
    assert.equal((await taken(link, begins.length)).slice(3), begins)
  }
  assert.match(await kept(), /\[panel\]/)
})

test('what is missing leads to its box, and grows less as it is filled', async () => {
  await step('Hand-over')
  const leakage = page.getByRole('button', { name: 'Hand-over: go to safety: leakage' })
  await leakage.click()
  await page.waitForFunction(() => document.activeElement?.id === 'field-safety-leakage')
  const sum = await page.locator('code').first().textContent()
  await page.keyboard.type('0.2 mA')
  await page.keyboard.press('Enter')
  await leakage.waitFor({ state: 'detached' })
  await page.waitForFunction((old) => document.querySelector('code') !== null && document.querySelector('code').textContent !== old, sum)
  await page.getByLabel('another file').fill('link-cut.svg')
  await page.getByRole('textbox', { name: 'what it shows' }).fill('the link that was cut')
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: 'Hand-over: go to record: photos of the cut links' }).waitFor({ state: 'detached' })
  await page.getByRole('button', { name: /^Ticket: go to record: owner/ }).click()
  await page.waitForFunction(() => document.activeElement?.id === 'field-record-owner')
})

test('the record is taken in each of its forms', async () => {
  await step('Hand-over')
  assert.equal(await taken(page.getByRole('link', { name: 'Take the package' }), 2), '200PK')
  assert.equal(await taken(page.getByRole('link', { name: 'The record as PDF' }), 5), '200%PDF-')
  assert.match(await taken(page.getByRole('link', { name: 'Look at the record' }), 9), /^200<!doctype/i)
})

test('nothing went wrong unseen', () => {
  assert.deepEqual(complaints, [])
})
