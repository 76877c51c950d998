import type { Locator } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

// Before the list is ordered by the next walk; of the winter after, whose plan nobody else looks at.
test('what can wait for a later order is told by when it has to be ordered, and is left out of the press by a tick', async ({
  page,
}) => {
  await signIn(page, 'Sam Lutterby')
  const costs = async (order: string, holding: string) => {
    await page.goto('/settings/levels')
    const form = page.getByRole('form', { name: 'How levels are set' })
    await form.getByLabel(/^One order/).fill(order)
    await form.getByLabel(/^Keeping a piece/).fill(holding)
    await form.getByRole('button', { name: 'Save' }).click()
    await expect(page.getByText(/^The next reckoning goes by this/)).toBeVisible()
  }
  await costs('0', '100')
  await page.goto('/winter')
  await page.getByText('Another plan').click()
  await page.getByRole('form', { name: 'A new plan' }).getByRole('button', { name: 'Plan the winter' }).click()
  await expect(page).toHaveURL(/\/winter\/\d+$/)
  await page.getByRole('link', { name: 'What to buy' }).click()
  const sheet = page
    .locator('section')
    .filter({ has: page.getByText(/^In \d+ orders £\d/) })
    .first()
  await expect(sheet).toContainText(/cheaper than all at once: £[\d,.]+( and £[\d.]+ carriage)? by .*, the rest \(£/)
  const waits = sheet.getByRole('row').filter({ hasText: 'order by' })
  const left = await waits.getByRole('link').allTextContents()
  expect(left.length).toBeGreaterThan(0)
  const press = page.getByRole('button', { name: /^(Mark as ordered|Keep \d)/ })
  const lines = async () => Number(/(\d+) lines?/.exec((await press.textContent())!)![1])
  const all = await lines()
  await sheet.getByRole('checkbox', { name: /^Leave what can wait/ }).check()
  await expect(waits.first()).toContainText('not in this press')
  expect(await lines()).toBe(all - left.length)
  await expectGoodScreen(page)
  await page.emulateMedia({ media: 'print' })
  await expect(sheet.getByText(/cheaper than all at once/)).toBeVisible()
  await expect(sheet.getByRole('checkbox')).toBeHidden()
  await page.emulateMedia({ media: null })
  await costs('10', '20')
})

test('from Today to a printed list for all suppliers in at most 12 clicks, then one press orders it, once', async ({
  page,
}) => {
  let clicks = 0
  const click = async (what: Locator) => {
    clicks += 1
    await what.click()
  }
  await signIn(page, 'Odile Brandreth')
  const winter = page.getByRole('region', { name: 'Winter' })
  await click(winter.getByRole('link', { name: /^Winter / }))
  await expect(page.getByText(/^As things stand, the chance that no machine waits for a part is/)).toBeVisible()
  await expect(page.getByRole('table').getByRole('row', { name: /^W-01/ })).toContainText('short')
  await click(page.getByRole('link', { name: 'What to buy' }))

  const says = page.getByText(/^(For|With nothing bought).* the chance that no (other )?machine waits for a part is/)
  const slider = page.getByRole('slider', { name: /^Budget for goods/ })
  const sum = page.getByLabel(/^Sum/)
  await slider.focus()
  await page.keyboard.press('Home')
  await expect(says).toContainText(/^With nothing bought the chance that no (other )?machine waits for a part is 0 %/)
  await expect(page.getByRole('button', { name: /^Mark as ordered/ })).toHaveCount(0)
  const before = await sum.inputValue()
  await page.keyboard.press('ArrowRight')
  await expect(sum).not.toHaveValue(before)
  await page.keyboard.press('End')
  // With failures foreseen, once levels were reckoned, no money makes it quite certain.
  await expect(says).toContainText(/ (99\.\d|over 99\.9|100) %/)
  await expect(slider).toHaveAttribute('aria-valuetext', /^£.*: (99\.\d|over 99\.9|100) %$/)
  const most = await sum.inputValue()
  // All the steps were reckoned before: the browser only reads them off.
  const asked: string[] = []
  page.on('request', (request) => asked.push(request.url()))
  for (let step = 0; step < 5; step++) await page.keyboard.press('ArrowLeft')
  await page.keyboard.press('End')
  expect(asked).toEqual([])

  await expect(sum).toHaveValue(most)
  // The list follows a moment after the slider: it is read once it stands.
  let suppliers: string[] = []
  await expect
    .poll(
      async () => {
        const before = suppliers
        suppliers = await page.getByRole('heading', { level: 2 }).allTextContents()
        return suppliers.length >= 2 && suppliers.join() === before.join()
      },
      { intervals: [400] },
    )
    .toBe(true)
  await page.evaluate(() => {
    window.print = () => document.body.setAttribute('data-printed', 'yes')
  })
  await click(page.getByRole('button', { name: 'Print the list' }))
  await expect(page.locator('body')).toHaveAttribute('data-printed', 'yes')
  expect(clicks).toBeLessThanOrEqual(12)
  await page.emulateMedia({ media: 'print' })
  expect(suppliers.length).toBeGreaterThanOrEqual(2)
  for (const name of suppliers) await expect(page.getByRole('table', { name: `To buy from ${name}` })).toBeVisible()
  await expect(slider).toBeHidden()
  await expect(page.getByText('Order by').first()).toBeVisible()
  await page.emulateMedia({ media: null })
  const file = await page.request.get((await page.getByRole('link', { name: 'List as CSV' }).getAttribute('href'))!)
  for (const name of suppliers) expect(await file.text()).toContain(name)

  // A quantity by hand stays whatever the slider does.
  const rows = page.getByRole('table').first().getByRole('row')
  const number = (await rows.nth(1).getByRole('link').textContent())!.trim()
  await page.getByRole('button', { name: `Change ${number}`, exact: true }).click()
  const form = page.getByRole('form', { name: `Quantity of ${number}` })
  const quantity = Number(await form.getByLabel(/^Quantity/).inputValue()) * 2
  await form.getByLabel(/^Quantity/).fill(String(quantity))
  await form.getByRole('button', { name: 'Keep' }).click()
  const line = page.getByRole('row').filter({ hasText: number })
  await expect(line).toContainText('by hand')
  await slider.focus()
  await page.keyboard.press('Home')
  await expect(line).toContainText(String(quantity))
  await page.keyboard.press('End')

  const other = await page.context().newPage()
  await other.goto(page.url())
  await page.getByRole('button', { name: /^Mark as ordered/ }).click()
  const orders = page.getByRole('region', { name: 'Orders made of this plan' }).getByRole('listitem')
  await expect(orders).toHaveCount(suppliers.length)
  await expect(page.getByText(/^\d+ orders? made\./)).toBeVisible()
  await other.getByRole('button', { name: /^Mark as ordered/ }).click()
  await expect(other.getByText(/This list was ordered already/)).toBeVisible()
  await page.reload()
  await expect(orders).toHaveCount(suppliers.length)
})

test('the winter that is over is set beside its plan: sums, machines, parts, chances, on paper and as a file', async ({
  page,
}) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/winter')
  await page
    .getByRole('listitem')
    .filter({ hasText: 'closed' })
    .getByRole('link', { name: /^Winter / })
    .click()
  await page.getByRole('link', { name: 'Review', exact: true }).click()
  await expect(page.getByText(/^Planned is what the plan said on .*, when its season had begun\.$/)).toBeVisible()
  const sums = page.getByRole('region', { name: 'In money' })
  for (const what of ['Planned', 'Bought for it', 'Used', 'Left over', 'Missing'])
    await expect(sums.getByRole('row').filter({ hasText: what }).first()).toContainText('£')
  await expect(page.getByText(/^Of \d+ machines \d+ w(as|ere) ready by the day planned/)).toBeVisible()
  await expect(page.getByText(/^At \d+ looks? [\d.]+ renewals were expected and \d+ found/)).toBeVisible()
  const parts = page.getByRole('region', { name: 'Parts' }).getByRole('row')
  const number = (await parts.nth(1).getByRole('link').textContent())!.trim()
  const file = await page.request.get((await page.getByRole('link', { name: 'Review as CSV' }).getAttribute('href'))!)
  expect((await file.text()).split('\r\n')[1]).toContain(number)
  await page.emulateMedia({ media: 'print' })
  await expect(parts.nth(1)).toBeVisible()
  // Folded on the screen or not, on paper every part stands, and everything that was looked at.
  const folded = await page.locator('details:not([open]) tbody tr').all()
  expect(folded.length).toBeGreaterThan(0)
  for (const row of folded) await expect(row).toBeVisible()
  await expect(page.getByRole('button', { name: 'Print the review' })).toBeHidden()
})

test('a cost centre that the list overdraws is told so, and nothing is held back', async ({ page }) => {
  await signIn(page, 'Marit Quillbeck')
  await page.goto('/settings/cost-centres')
  await page.getByRole('link', { name: '410 Home orchard' }).click()
  await expect(page.getByRole('checkbox', { name: /^T-01/ })).toBeChecked()
  await page.goto('/winter/1/budgets')
  // The buttons stand below each other, however long the names are.
  const keep = await page.getByRole('button', { name: 'Keep', exact: true }).all()
  const lefts = await Promise.all(keep.map(async (button) => Math.round((await button.boundingBox())!.x)))
  expect(lefts.length).toBeGreaterThan(1)
  expect(new Set(lefts).size).toBe(1)
  const budget = page.getByRole('form', { name: 'Budget of 410' })
  await budget.getByLabel(/^410/).fill('1.00')
  await budget.getByRole('button', { name: 'Keep' }).click()
  await expect(page.getByRole('row').filter({ hasText: '410 Home orchard' })).toContainText('over its budget')
  await page.goto('/winter/1/buy')
  await expect(page.getByText(/410 Home orchard is £[\d,.]+ over its budget/)).toBeVisible()
})
