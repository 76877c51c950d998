import type { Page } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** The strip order of a figure of the demo. Each test has a figure of its own: orders that are saved stay. */
async function openOrder(page: Page, model: string, figure: RegExp): Promise<void> {
  await page.goto('/models')
  await page.getByRole('link', { name: model }).click()
  await page.getByRole('link', { name: figure }).click()
  await page.getByRole('link', { name: 'Strip order' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Strip order')
}

const steps = (page: Page) => page.locator('[data-step]')
const items = (page: Page) => steps(page).evaluateAll((all) => all.map((one) => one.getAttribute('data-step')))
const step = (page: Page, item: string) => page.locator(`[data-step="${item}"]`)
const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
const saved = (page: Page) => page.getByText('As it is in the book.')

test('tapped on the drawing, parts come off in that order, what holds them first, and the order is kept', async ({
  page,
}) => {
  await signIn(page, 'Sam Lutterby')
  await openOrder(page, 'Dunmarrow T6', /5-04/)
  const before = await items(page)
  await press(page, 'Begin anew')
  const tap = async (item: string) => {
    // As a person who finds a number by typing it; a press on it takes the part off.
    await page
      .getByRole('group', { name: /Figure 5-04/ })
      .locator(`button[data-item="${item}"]`)
      .first()
      .focus()
    await page.keyboard.press('Enter')
  }
  await tap('20')
  await tap('12')
  expect(await items(page)).toEqual(['20', '17', '19', '18', '12'])
  const drum = page
    .getByRole('group', { name: /Figure 5-04/ })
    .locator('button[data-item="12"]')
    .first()
  await expect(drum).toHaveAccessibleName('12, hub, comes off 5th')
  await press(page, 'Undo')
  expect(await items(page)).toEqual(['20'])
  await press(page, 'Redo')
  await step(page, '12').getByLabel('What to know at this step').fill('two persons')
  await step(page, '12').getByLabel('Minutes, off and on again').fill('25')
  await step(page, '12').getByLabel('Also comes off after').selectOption('20')
  await step(page, '20').getByRole('button').first().click()
  await step(page, '20').getByLabel('Also comes off after').selectOption('12')
  await expect(page.getByRole('status').filter({ hasText: 'circle' })).toContainText(
    /: 20 Dust cap before .*before 20 Dust cap/,
  )
  await expectGoodScreen(page)
  await press(page, 'Save the order')
  await expect(saved(page)).toBeVisible()
  await page.reload()
  expect(await items(page)).toEqual(['20', '17', '19', '18', '12'])
  await expect(step(page, '12')).toContainText('two persons; 25 min')
  await page.getByText('Earlier orders').click()
  await expect(page.getByText(/Sam Lutterby, 5 steps/).first()).toBeVisible()

  // Put back as it was, for whoever strips this hub next.
  await press(page, 'Begin anew')
  for (const item of before) if (item !== null && !(await items(page)).includes(item)) await tap(item)
  await press(page, 'Save the order')
  await expect(saved(page)).toBeVisible()
  expect(new Set(await items(page))).toEqual(new Set(before))
})

test('the drawing proposes an order with reasons, and nothing is kept before it is saved', async ({ page }) => {
  await signIn(page, 'Sam Lutterby')
  await openOrder(page, 'Stourleigh FM 180', /3-02/)
  const before = await items(page)
  await press(page, 'Propose from the drawing')
  await expect(page.getByText(/^Proposed: /)).toBeVisible()
  await expect(page.getByText('Not saved yet.')).toBeVisible()
  const proposed = await items(page)
  expect(proposed.length).toBeGreaterThan(15)
  await steps(page)
    .nth(proposed.length - 1)
    .getByRole('button')
    .first()
    .click()
  await expect(page.getByText(/, (sure|likely|a guess)$/).first()).toBeVisible()
  await expectGoodScreen(page)
  await press(page, 'Undo')
  await expect(saved(page)).toBeVisible()
  expect(await items(page)).toEqual(before)
})

test('who saved in between is named, and both orders are still there', async ({ page, browser }) => {
  await signIn(page, 'Sam Lutterby')
  await openOrder(page, 'Stourleigh FM 180', /3-03|3-04|3-01/)
  await press(page, 'Begin anew')
  const other = await (await browser.newContext()).newPage()
  await signIn(other, 'Marit Quillbeck')
  await other.goto(page.url())
  await press(other, 'Begin anew')
  const list = (where: Page) => where.getByRole('button', { name: /, comes off next$/ })
  await list(other).last().click()
  await press(other, 'Save the order')
  await expect(saved(other)).toBeVisible()
  const theirs = await items(other)
  await other.context().close()

  await list(page).first().click()
  const mine = await items(page)
  await press(page, 'Save the order')
  await expect(page.getByRole('alert').filter({ hasText: 'Marit Quillbeck saved another order' })).toBeVisible()
  expect(await items(page)).toEqual(mine)
  await press(page, 'Put both together')
  await expect.poll(async () => [...(await items(page))].sort()).toEqual([...new Set([...mine, ...theirs])].sort())
  await press(page, 'Save the order')
  await expect(saved(page)).toBeVisible()
})

test('an order that was not saved is still on the device after the page was closed', async ({ page }) => {
  await signIn(page, 'Sam Lutterby')
  await openOrder(page, 'Dunmarrow T6', /5-0[^4]|5-1/)
  await press(page, 'Begin anew')
  await page
    .getByRole('button', { name: /, comes off next$/ })
    .first()
    .click()
  const mine = await items(page)
  await page.waitForFunction(() => Object.keys(localStorage).some((name) => name.startsWith('strip-order-')))
  page.on('dialog', (dialog) => dialog.accept())
  await page.reload()
  await press(page, 'Take it up')
  expect(await items(page)).toEqual(mine)
})

test('a mechanic without the right is told whom to ask', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/models/1/figures/1/strip')
  await expect(page).toHaveURL(/not-allowed/)
})

test('the strip step of a job says how long such jobs took', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/jobs')
  const jobs = await page.locator('main table a').evaluateAll((all) => all.map((one) => one.getAttribute('href')))
  const says: string[] = []
  for (const job of [...new Set(jobs)].filter((href) => /^\/jobs\/\d+$/.test(href ?? '')).slice(0, 4)) {
    await page.goto(`${job}/strip`)
    says.push(...(await page.getByText(/^Time for the whole job/).allTextContents()))
  }
  expect(says.join('\n')).toMatch(/about \d.*from \d+ past jobs?.*most take/)
})
