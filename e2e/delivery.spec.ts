import type { Locator } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/**
 * A key of a practised typist who is no secretary, and one thought before each line: the keystroke-level model of Card, Moran and
 * Newell, Communications of the ACM 23 (1980); both from memory.
 */
const KEY_SECONDS = 0.28
const THOUGHT_SECONDS = 1.35
const LINES = 10

test('a delivery of ten lines is put away with the keyboard alone, in less than two minutes of keys and thought', async ({
  page,
}, info) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/buying')
  // The supplier that most is to be ordered from; of its lines ten are ordered, the others left for another time.
  const groups = page.getByRole('form', { name: /^Order from/ })
  const counts = await groups.evaluateAll((all) => all.map((one) => one.querySelectorAll('tbody tr').length))
  const group = groups.nth(counts.indexOf(Math.max(...counts)))
  const ticks = await group.getByRole('checkbox').all()
  expect(ticks.length, 'a supplier with ten lines').toBeGreaterThanOrEqual(LINES)
  for (const tick of ticks.slice(LINES)) await tick.uncheck()
  await group.getByRole('button', { name: /^Mark as ordered/ }).click()
  await page.waitForURL(/\/buying\/orders\/\d+$/)
  await page.reload()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/Order \d+/)
  const form = page.getByRole('form', { name: 'Receive what came' })
  const came = form.getByLabel(/^Came/)
  await expect(came).toHaveCount(LINES)
  await expectGoodScreen(page)

  let keys = 0
  const press = async (key: string) => {
    await page.keyboard.press(key)
    keys += 1
  }
  const focused = (what: Locator) => what.evaluate((one) => one === document.activeElement)
  while (!(await focused(came.first()))) {
    await press('Tab')
    expect(keys, 'keys from the head of the screen to the first line').toBeLessThan(60)
  }
  const before = keys
  // Every line is typed as it was counted, here as much as is due; a date of a batch where one is asked for.
  for (let line = 0; line < LINES; line++) {
    const field = came.nth(line)
    for (const digit of (await field.getAttribute('data-due'))!) await press(digit)
    await press('Enter')
    while (line < LINES - 1 ? !(await focused(came.nth(line + 1))) : !(await focused(submit(form)))) {
      const asked = page.locator(':focus')
      if ((await asked.getAttribute('type')) === 'date') for (const digit of '12312029') await press(digit)
      await press('Enter')
      expect(keys, 'the way goes down the lines').toBeLessThan(300)
    }
  }
  // A bin that nothing proposes is chosen with the keys too; the way back to the button counts.
  for (const bin of await form.getByLabel(/^Into bin/).all())
    if ((await bin.inputValue()) === '') {
      await bin.focus()
      await press('ArrowDown')
    }
  await submit(form).focus()
  await press('Enter')
  await expect(page.getByRole('main')).toContainText('Nothing is due any more')
  await expectGoodScreen(page)

  const seconds = keys * KEY_SECONDS + (LINES + 1) * THOUGHT_SECONDS
  const says = `${keys} keys for ${LINES} lines (${before} to the first): ${(keys * KEY_SECONDS).toFixed(1)} s, with thought ${seconds.toFixed(1)} s`
  info.annotations.push({ type: 'ten lines received', description: says })
  expect(seconds, says).toBeLessThan(120)
  // A line is its digits and Enter, a key or two more where it asks for a batch.
  expect(keys - before, says).toBeLessThanOrEqual(6 * LINES)
})

const submit = (form: Locator) => form.getByRole('button', { name: 'Put on shelf' })

test('boxes are counted, damaged pieces go into quarantine, and both are remembered with the order', async ({
  page,
}) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/settings/stores/1')
  const bins = page.getByRole('form', { name: 'Add bins' })
  await bins.getByLabel(/Bin codes/).fill('HELD-9')
  await bins.getByLabel('What they are for').selectOption('Quarantine')
  await bins.getByRole('button', { name: 'Add' }).click()
  await expect(bins.getByRole('status')).toContainText('1 bin set up')
  // The demo's orders go by the day it was made: one is taken that waits for two of something at least.
  await page.goto('/buying/orders')
  const open = page.getByRole('region', { name: 'On their way' }).getByRole('link', { name: /^\d+$/ })
  const orders = await open.evaluateAll((links) => links.map((link) => link.getAttribute('href')!))
  const form = page.getByRole('form', { name: 'Receive what came' })
  let at = -1
  for (const order of orders) {
    await page.goto(order)
    if ((await form.count()) === 0) continue
    const due = await form
      .getByLabel(/^Came/)
      .evaluateAll((all) => all.map((one) => (one as HTMLInputElement).dataset.due))
    at = due.findIndex((many) => Number(many) >= 2)
    if (at >= 0) break
  }
  expect(at, 'an order waits for two of something').toBeGreaterThanOrEqual(0)
  await form.getByLabel(/^Came/).nth(at).fill('1')
  await form
    .getByText(/^Not as ordered/)
    .nth(at)
    .click()
  await form
    .getByLabel(/^Damaged, /)
    .nth(at)
    .fill('1')
  await form
    .getByLabel(/^What is wrong/)
    .nth(at)
    .fill('box crushed')
  await expectGoodScreen(page)
  await form.getByRole('button', { name: 'Put on shelf' }).click()
  await expect(page.getByRole('heading', { name: 'How it came' })).toBeVisible()
  await expect(page.getByRole('main')).toContainText('Damaged on arrival')
  await expect(page.getByRole('main')).toContainText('box crushed')
})

test('a part is taken for a machine and a cost centre, and the movements say so; one is scrapped with a reason', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/book?q=wiping')
  await page
    .getByRole('link', { name: /^Choose/ })
    .first()
    .click()
  const form = page.getByRole('form', { name: /^Take / })
  await form.getByLabel(/^Take/).fill('1')
  await form.getByRole('button', { name: 'Take from shelf' }).click()
  await expect(form).toContainText('say what it is for')
  await form.getByLabel('Machine').selectOption({ index: 1 })
  await form.getByLabel('Cost centre').fill('Lower orchard')
  await form.getByRole('button', { name: 'Take from shelf' }).click()
  await expect(form.getByRole('status')).toContainText('Took 1')
  await expectGoodScreen(page)
  await page.getByRole('navigation', { name: 'What is done' }).getByRole('link', { name: 'Scrap' }).click()
  const scrap = page.getByRole('form', { name: /^Scrap / })
  await scrap.getByLabel(/^Scrap/).fill('1')
  await scrap.getByLabel('Why').fill('soaked with oil')
  await scrap.getByRole('button', { name: 'Scrap', exact: true }).click()
  await expect(scrap.getByRole('status')).toContainText('Scrapped 1')
  await expectGoodScreen(page)
  await page.goto('/shelf/movements')
  await expect(page.getByRole('row').nth(1)).toContainText('soaked with oil')
  await expect(page.getByRole('row').nth(2)).toContainText('cost centre Lower orchard')
})
