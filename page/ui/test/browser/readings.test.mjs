// A half-made harness at the bench: a run is ticked and that undone; the list of
// ohms opens once somebody has signed that all is dead; three readings, one of
// them wrong, and the cause is found; volts with a stage left out for a reason;
// the page shown to the bench's network and shut again.

import assert from 'node:assert/strict'
import { readFile, writeFile } from 'node:fs/promises'
import path from 'node:path'
import { after, before, test } from 'node:test'
import { browse, open, picture, serve, until } from './stage.mjs'

let server, browser, context, page, complaints, file

before(async () => {
  server = await serve({ job: 'wired.toml' })
  file = path.join(server.folder, 'bass-head', 'job.toml')
  const text = await readFile(file, 'utf8')
  const unsigned = text.replace(/^\[dead\]\n(?:\w+ = .*\n)+/m, '') // nobody has signed yet
  assert.notEqual(unsigned, text)
  // One band is enough to ring out, and six times less to weigh causes for.
  const [bands, harness] = [unsigned.indexOf('[[band]]\nname = "160"'), unsigned.indexOf('# ---- the harness ----')]
  assert.ok(bands > 0 && harness > bands)
  await writeFile(file, unsigned.slice(0, bands) + unsigned.slice(harness))
  browser = await browse()
  ;({ context, page, complaints } = await open(browser, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }))
})

after(async () => {
  await context?.close()
  await browser?.close()
  await server?.end()
})

const step = (name) => page.getByRole('navigation').getByRole('button', { name }).click()
const onDisk = () => readFile(file, 'utf8')
const saved = () => page.getByRole('status').filter({ hasText: /^saved$/ }).waitFor()
const tick = (name) => page.getByRole('checkbox', { name })

/** Runs a part; a picture of where it broke is kept. */
function part(name, does) {
  test(name, async () => {
    try {
      await does()
    } catch (error) {
      if (page !== undefined) await picture(page, `broke-${name.replace(/\W+/g, '-')}`)
      throw error
    }
  })
}

/** The list as the server has it, in the words the boxes are labelled with. */
async function lines() {
  const response = await fetch(new URL('api/ask/ohms', server.address), {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ job: 'bass-head', list: 'quick', no_job: true }),
  })
  const { answer } = await response.json()
  return answer.groups.flatMap((g) => g.rows).map((r) => ({
    ...r,
    label: `Ohms, red ${r.red}, black ${r.black}, at ${r.setting === answer.all_up ? 'all sliders up' : r.setting}`,
  }))
}

part('a run is ticked, and that undone', async () => {
  await page.goto(server.address)
  await page.getByRole('button', { name: /^Open / }).first().click()
  await step('Wiring')
  const round = tick('Run round is made')
  await round.waitFor()
  assert.equal(await round.isChecked(), false)
  const states = async () => [...(await onDisk()).matchAll(/^state = "(.*)"/gm)].map((m) => m[1]).join()
  const was = await states()
  await round.check()
  await until(async () => (await states()) !== was, 'the tick is not on the disk')
  await page.getByText(/4 made, 7 NOT DONE/).waitFor()
  await page.getByRole('button', { name: 'Undo' }).click()
  await until(async () => (await states()) === was, 'undo is not on the disk')
  await page.getByText(/3 made, 8 NOT DONE/).waitFor()
  await page.getByRole('heading', { name: 'MAINS lugs that were touched' }).waitFor()
  await page.getByLabel('pilot lamp: looked at by').fill('the bench (invented)')
  await page.getByLabel('pilot lamp: looked at by').press('Enter')
  await until(async () => (await onDisk()).includes('signed_by = "the bench (invented)"'), 'the sign-off is not on the disk')
  await saved()
})

part('no box of ohms opens before somebody signed', async () => {
  await step('Ohms')
  await page.getByText('There is no list and no box before this is signed.').waitFor()
  assert.equal(await page.getByRole('textbox', { name: /^Ohms, / }).count(), 0)
  await page.getByLabel('signed by').fill('the bench (invented)')
  await page.getByLabel('how it was discharged and proved').fill('clip through 220 ohm, left on; meter proved on a battery (invented)')
  await page.getByRole('button', { name: 'Sign: it is dead' }).click()
  await page.getByText(/^\s*12 lines catch/).waitFor()
  assert.ok((await page.getByRole('textbox', { name: /^Ohms, / }).count()) >= 12)
  await saved()
})

part('three readings, one of them wrong: its cause is found', async () => {
  const all = await lines()
  // One part alone lies between these two points, and it is a decade out.
  const wrong = all.find((r) => !r.open && r.through.length === 1 && !r.through[0].part.includes('.'))
  const { part: culprit } = wrong.through[0]
  const right = all.filter((r) => !r.open && r !== wrong).slice(0, 2)
  const enter = async (row, value) => {
    const box = page.getByRole('textbox', { name: row.label, exact: true })
    await box.fill(value)
    await box.press('Enter')
  }
  for (const [i, row] of right.entries()) {
    await enter(row, `${row.ohms.nominal.toFixed(1)} ohm`)
    await page.getByText(`${i + 1} pass, 0 look, 0 stop, ${11 - i} NOT DONE.`).waitFor()
  }
  await enter(wrong, `${(10 * wrong.ohms.nominal).toFixed(0)} ohm`)
  await page.getByText('2 pass, 0 look, 1 stop, 9 NOT DONE.').waitFor()
  // At once: which single slip would read so.
  assert.equal(await page.getByText(/^Would read so: /).textContent(), `Would read so: value a decade out: ${culprit} ×10`)
  // And, weighed with all that was read, which cause is likeliest, and what to read next.
  const ranked = page.getByRole('table', { name: 'The likeliest first' })
  await ranked.waitFor()
  const [first] = await ranked.getByRole('rowheader').allTextContents()
  assert.equal(first, `${culprit}: its value is out`)
  await page.getByRole('heading', { name: 'The next best reading' }).waitFor()
  await until(async () => (await onDisk()).split('[[reading]]').length === 4, 'the readings are not on the disk')
  await picture(page, 'ohms-one-wrong')
})

part('what cannot be read as ohms stays in the box', async () => {
  const [row] = (await lines()).slice(-1)
  const box = page.getByRole('textbox', { name: row.label, exact: true })
  await box.fill('lots')
  await box.press('Enter')
  await page.getByRole('alert').filter({ hasText: 'is not a resistance in ohms' }).first().waitFor()
  assert.equal(await box.inputValue(), 'lots')
  await box.press('Escape')
  assert.equal(await box.inputValue(), '')
})

part('a stage of the power-up is left out for a reason', async () => {
  await step('Volts')
  const current = page.getByLabel('Current that the supply shows')
  await current.fill('lots')
  await current.press('Enter')
  await page.getByText('“lots” is not a current.').waitFor()
  await current.fill('300 mA')
  await current.press('Enter')
  await page.getByText(/^0 pass, 0 look, 1 stop/).waitFor()
  await page.getByText('A reading says stop: go no further before its cause is found.').waitFor()
  await page.getByRole('radio', { name: 'mains' }).check()
  await page.getByText('bench supply: NOT DONE').waitFor()
  assert.equal(await page.getByRole('textbox', { name: /^Volts at / }).count(), 0)
  for (const stage of ['bench supply', 'lamp limiter']) {
    const skip = page.getByRole('button', { name: `Skip “${stage}”` })
    assert.equal(await skip.isDisabled(), true)
    await page.getByLabel(`Why “${stage}” is left out`).fill('invented, to try the page')
    await skip.click()
    await page.getByText(`${stage}: SKIPPED, invented, to try the page`).waitFor()
  }
  const rail = page.getByRole('textbox', { name: 'The rail at amp.rail' })
  await rail.fill('23.8 V')
  await rail.press('Enter')
  await page.getByText('All volts follow from 23.8 V there, as read.').waitFor()
  await page.getByText(/^1 pass, 0 look, 0 stop/).waitFor()
  await page.getByText('The job says nothing of the supply that the board hangs on.').waitFor()
  assert.equal([...(await onDisk()).matchAll(/skipped = "invented, to try the page"/g)].length, 2)
  await picture(page, 'volts-skipped')
})

part('the page is shown at the bench, and shut again', async () => {
  await step('Ticket')
  await page.getByRole('button', { name: 'Show at the bench' }).click()
  const code = page.getByRole('img', { name: /square code/ })
  // A machine on no network cannot be seen from one, and says so.
  await page.waitForFunction(() => document.querySelector('img[src*="code.svg"], .notice[role=alert]') !== null)
  if ((await code.count()) === 0) return
  await page.waitForFunction(() => document.querySelector('img[src*="code.svg"]').naturalWidth > 0)
  await picture(page, 'bench-shown')
  await page.getByText(/whoever is on this network/).waitFor()
  await page.getByRole('button', { name: 'Stop showing' }).click()
  await page.getByText('Shown on this machine alone.').waitFor()
})

part('nothing went wrong unseen', async () => {
  assert.deepEqual(complaints.filter((c) => !/status of 422/.test(c)), []) // what could not be read
})
