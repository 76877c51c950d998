import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('the whole shelf stands in one table: the keys go to its end and back, and Enter opens the part', async ({
  page,
}, { project }) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf')
  const table = page.getByRole('table', { name: 'Stock' })
  if (project.name === 'phone') {
    // Too little room for a table that scrolls by itself: rows by the page.
    await expect(page.getByRole('navigation', { name: 'Pages' })).toContainText(/Page 1 of \d/)
    await page.getByRole('link', { name: 'Page 2' }).click()
    await expect(page).toHaveURL(/page=2/)
    await expect(table.getByRole('row').nth(1)).toBeVisible()
    await expectGoodScreen(page)
    return
  }
  const rows = Number((await page.getByText(/^\d+ rows\./).textContent())!.replace(/\D.*/, ''))
  expect(rows).toBeGreaterThan(100)
  await expect(table).toHaveAttribute('aria-rowcount', String(rows + 1))
  // Only what is in sight is drawn.
  expect(await table.getByRole('row').count()).toBeLessThan(rows)
  const first = table.locator('[data-row="0"]').getByRole('link').first()
  await first.focus()
  await page.keyboard.press('End')
  const last = table
    .locator(`[data-row="${rows - 1}"]`)
    .getByRole('link')
    .first()
  await expect(last).toBeVisible()
  await page.keyboard.press('ArrowUp')
  await page.keyboard.press('ArrowDown')
  await expect(last).toBeFocused()
  const number = await last.textContent()
  await expectGoodScreen(page)
  await page.keyboard.press('Enter')
  await expect(page).toHaveURL(/\/parts\/\d+/)
  await expect(page.getByRole('main')).toContainText(number!)
})

test('columns and order are chosen, the question is kept under a name and found again', async ({ page }) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/shelf')
  await page.getByText('Columns and order').click()
  await page.getByLabel('In order of').selectOption('Worth, most first')
  await page.getByRole('checkbox', { name: 'Worth' }).check()
  await page.getByRole('checkbox', { name: 'Where' }).uncheck()
  await page.getByRole('button', { name: 'Show so' }).click()
  await expect(page).toHaveURL(/sort=value/)
  const table = page.getByRole('table', { name: 'Stock' })
  const worth = async () =>
    Promise.all(
      [1, 2, 3].map(async (at) => Number((await table.getByRole('row').nth(at).textContent())!.replace(/.*£|,/g, ''))),
    )
  await expect(table.getByRole('row').nth(1)).toContainText('£')
  const dearest = await worth()
  expect(dearest).toEqual([...dearest].sort((a, b) => b - a))
  await page.getByText('Kept questions').click()
  await page.getByLabel('Keep what is asked now as').fill('Dearest first')
  await page.getByRole('button', { name: 'Keep', exact: true }).click()
  await page.goto('/shelf')
  await page.getByRole('link', { name: 'Dearest first' }).click()
  await expect(page).toHaveURL(/sort=value/)
  await expectGoodScreen(page)
})

test('a part shows what was on hand over time, and the ledger is narrowed to what was looked for', async ({ page }) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf?q=split+pin')
  await page.getByRole('table').getByRole('link').first().click()
  await expect(page).toHaveURL(/\/parts\/\d+/)
  await page.getByRole('link', { name: 'All of them, and stock over time' }).click()
  await expect(page.getByRole('img', { name: /^Stock over time: \d+ on hand/ })).toBeVisible()
  await expectGoodScreen(page)
  await page.getByRole('link', { name: '3 years' }).click()
  await expect(page).toHaveURL(/years=3/)
  await page.goto('/shelf/movements')
  await page.getByLabel('What', { exact: true }).selectOption('Put back')
  await page.getByRole('button', { name: 'Show', exact: true }).click()
  await expect(page).toHaveURL(/kind=return/)
  for (const row of await page.getByRole('row').filter({ hasText: /bin/ }).all())
    await expect(row).toContainText(/Put back|What/)
  await expectGoodScreen(page)
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('link', { name: 'CSV' }).click()])
  expect(file.suggestedFilename()).toBe('movements.csv')
})

test('a level is proposed with its reasons, changes with what is typed, and is kept only when somebody says so', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf?q=split+pin')
  await page.getByRole('table').getByRole('link').first().click()
  await expect(page).toHaveURL(/\/parts\/\d+/)
  const card = page.url()
  await page.getByRole('link', { name: 'How many to keep, and why' }).click()
  await expect(page.getByRole('img', { name: /^Use by month: \d+ used/ })).toBeVisible()
  const proposed = page.getByText(/^Reorder point \d+, order up to \d+$/)
  const before = await proposed.textContent()
  await page.getByLabel('Lead time, days').fill('900')
  await expect(page.getByText(/a delivery takes 900 days/)).toBeVisible()
  await expect(proposed).not.toHaveText(before ?? '')
  const [, reorderPoint, orderUpTo] = /(\d+), order up to (\d+)/.exec((await proposed.textContent()) ?? '') ?? []
  await page.getByLabel('Lead time, days').fill('soon')
  await expect(page.getByText('enter whole days, 0 to 999')).toBeVisible()
  await expect(page.getByRole('button', { name: 'Keep the proposed level' })).toHaveCount(0)
  await page.getByLabel('Lead time, days').fill('900')
  await page.getByText('How the numbers came about').click()
  await expect(page.getByText(/^smallest that meets the target: \d+$/)).toBeVisible()
  await expectGoodScreen(page)
  await page.getByRole('button', { name: 'Keep the proposed level' }).click()
  await expect(page.getByText('The level is kept.')).toBeVisible()
  await page.goto(card)
  await expect(page.getByText(`Reorder point ${reorderPoint}, order up to ${orderUpTo}.`)).toBeVisible()
})
