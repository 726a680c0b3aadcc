// One walk through the page as a person takes it, in a real browser: a new job,
// a slider dragged, a part changed, that undone, parts chosen, a curve brought
// in, its sentence read, the sheet printed. It waits on conditions alone.

import assert from 'node:assert/strict'
import { readFile } from 'node:fs/promises'
import path from 'node:path'
import { after, before, test } from 'node:test'
import { browse, open, picture, root, serve, until } from './stage.mjs'

const demo = (name) => path.join(root, 'demo', 'bass-head', name)

let server, browser, context, page, complaints

before(async () => {
  server = await serve()
  browser = await browse()
  ;({ context, page, complaints } = await open(browser, { viewport: { width: 1280, height: 900 }, acceptDownloads: true }))
})

after(async () => {
  await context?.close()
  await browser?.close()
  await server?.end()
})

const step = (name) => page.getByRole('navigation').getByRole('button', { name }).click()
const saved = () => page.getByRole('status').filter({ hasText: /^saved$/ }).waitFor()

/** Runs a part of the walk; a picture of where it broke is kept. */
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

part('a new job from the dozen questions', async () => {
  await page.goto(server.address)
  await page.getByRole('button', { name: 'New job' }).click()
  await page.getByLabel('What is the job called?').fill('Six bands for the walk (invented)')
  await page.getByRole('button', { name: 'Make the job' }).click()
  await page.getByRole('heading', { name: 'Job ticket' }).waitFor()
  await page.getByLabel('customer', { exact: true }).fill('nobody (invented)')
  await page.getByLabel('customer', { exact: true }).press('Enter')
  await saved()
})

part('a slider is dragged; number and curve change', async () => {
  await step('Bands')
  const slider = page.getByRole('slider', { name: 'Slider 1000' })
  await slider.waitFor()
  const total = page.locator('output').first()
  const plot = page.locator('figure.plot canvas').first()
  await page.waitForFunction(() => /dB/.test(document.querySelector('output')?.textContent ?? ''))
  const before = { total: await total.textContent(), plot: await inkOf(plot), at: await slider.getAttribute('aria-valuenow') }
  const box = await slider.boundingBox()
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
  await page.mouse.down()
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 - 30, { steps: 6 })
  await page.mouse.up()
  assert.notEqual(await slider.getAttribute('aria-valuenow'), before.at)
  await page.waitForFunction((was) => document.querySelector('output')?.textContent !== was, before.total)
  assert.ok((await inkOf(plot)) !== before.plot, 'the curve is drawn as before')
  // The same by keys alone.
  await slider.focus()
  await page.keyboard.press('End')
  assert.equal(Number(await slider.getAttribute('aria-valuenow')), Number(await slider.getAttribute('aria-valuemax')))
})

/** What is drawn on a canvas, as text. */
const inkOf = (canvas) => canvas.evaluate((c) => c.toDataURL())

part('a part is changed, and that is undone', async () => {
  await page.getByRole('button', { name: 'Change the parts of band 1000' }).click()
  const panel = page.getByRole('region', { name: 'The parts of band 1000' })
  const box = panel.getByRole('group', { name: 'Series resistor' }).getByLabel('marked')
  const was = await box.inputValue()
  await saved()
  const before = await onDisk()
  await box.fill('1k2')
  await panel.getByRole('button', { name: 'Keep the change' }).click()
  await until(async () => (await onDisk()).includes('value = "1.2 k'), 'the change is not on the disk')
  await page.getByRole('button', { name: 'Undo' }).click()
  await until(async () => (await onDisk()) === before, 'undo is not on the disk')
  await page.waitForFunction((w) => [...document.querySelectorAll('input')].some((i) => i.value === w), was)
  await saved()
})

/** The job's file as it is now. */
const onDisk = async () => readFile(await jobFile(), 'utf8')

const jobFile = async () => {
  const id = decodeURIComponent(new URL(page.url()).hash.slice(1))
  return id.endsWith('.toml') ? path.join(server.folder, id) : path.join(server.folder, id, 'job.toml')
}

part('a drawer is pasted and a reading warned of', async () => {
  await step('Parts')
  await page.getByText('Paste from a spreadsheet').click()
  await page.getByLabel('Rows with their titles, as copied').fill(await readFile(demo('drawer.csv'), 'utf8'))
  await page.getByRole('button', { name: 'Look at it' }).click()
  await page.getByRole('heading', { name: 'What was understood' }).waitFor()
  await page.getByRole('button', { name: 'Make this the drawer' }).click()
  await page.getByRole('table', { name: /Parts at hand/ }).waitFor()
  await page.getByLabel('part', { exact: true }).fill('bag 99')
  await page.getByLabel('marked', { exact: true }).fill('1 H')
  await page.getByLabel('meter shows').fill('1.3 H')
  await page.getByLabel('at', { exact: true }).fill('120 Hz')
  await page.getByLabel('Q', { exact: true }).fill('1.5')
  await page.getByText(/bag 99 was read at Q 1.5 .* meters err below 3/).waitFor()
})

part('parts are chosen, looked at and kept', async () => {
  await page.getByRole('button', { name: 'Choose', exact: true }).click()
  const chosen = page.getByRole('table', { name: 'What was chosen, and what the board then does' })
  await chosen.waitFor()
  // What is barred is in no leg the next time, what is fixed still in its own.
  const band63 = chosen.getByRole('row').filter({ has: page.getByRole('rowheader', { name: '63', exact: true }) })
  const [coil, capacitor] = await band63.locator('strong').allTextContents()
  await band63.getByRole('button', { name: `Bar ${coil}`, exact: true }).click()
  await band63.getByRole('button', { name: `Fix ${capacitor} to band 63` }).click()
  await page.getByRole('button', { name: 'Choose again' }).click()
  await until(async () => !(await chosen.locator('strong').allTextContents()).includes(coil), `${coil} was barred and is chosen`)
  assert.ok((await band63.locator('strong').allTextContents()).includes(capacitor), `${capacitor} was fixed`)
  await page.getByRole('button', { name: 'Keep these parts in the job' }).click()
  await page.getByText('The job has these parts now.').waitFor()
  await page.getByRole('heading', { name: 'Pick list' }).waitFor()
  await saved()
})

part('a curve is brought in, laid over, and its sentence read', async () => {
  await step('Curves')
  await page.getByLabel('Choose a file').setInputFiles(demo('unit-b-flat.txt'))
  await page.getByRole('heading', { name: /What was understood of/ }).waitFor()
  assert.match(await page.getByLabel('decimal', { exact: true }).locator('option').first().textContent(), /comma/)
  await page.getByLabel('of unit').fill('B')
  await page.getByRole('button', { name: 'Lay it over' }).click()
  await page.getByRole('slider', { name: /unit b flat/ }).first().waitFor()
  await page.getByLabel('Choose a file').setInputFiles(demo('unit-b-400-boost.txt'))
  await page.getByLabel('of unit').fill('B')
  await page.getByLabel('taken with the sliders at').fill('400=+1')
  await page.getByRole('button', { name: 'Lay it over' }).click()
  await page.getByRole('listitem').filter({ hasText: /^400: centre 4\d\d\.\d Hz, \+\d/ }).waitFor()
  await saved()
})

part('the sheet is printed, and what is missing leads there', async () => {
  await step('Hand-over')
  const sheet = page.frameLocator('iframe')
  await sheet.getByRole('heading', { name: 'Before a hand goes in' }).waitFor()
  await page.evaluate(() => {
    const frame = document.querySelector('iframe')
    frame.contentWindow.print = () => frame.setAttribute('data-printed', 'yes')
  })
  await page.getByRole('button', { name: 'Print the sheet' }).click()
  await page.locator('iframe[data-printed=yes]').waitFor()
  const pdf = await page.evaluate(async () => {
    const link = document.querySelector('a[href*=pdf]')
    const bytes = new Uint8Array(await (await fetch(link.href)).arrayBuffer())
    return String.fromCharCode(...bytes.slice(0, 5))
  })
  assert.equal(pdf, '%PDF-')
  await page.getByRole('button', { name: 'Hand-over: go to safety: leakage' }).click()
  await page.waitForFunction(() => document.activeElement?.closest('.field')?.textContent?.includes('leakage'))
})

part('nothing went wrong unseen', async () => {
  assert.deepEqual(complaints, [])
})
