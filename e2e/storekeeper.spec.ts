import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a storekeeper receives a part, counts its bin, and both stand in the ledger', async ({ page }) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf?q=wiping')
  await page.getByRole('table').getByRole('link').first().click()
  // The shelf has a link of that name too: the part's card must be there first.
  await expect(page).toHaveURL(/\/parts\/\d+/)
  await page.getByRole('link', { name: 'Receive' }).click()
  const form = page.getByRole('form', { name: /^Receive/ })
  await form.getByLabel(/How many came/).fill('5')
  await form.getByRole('button', { name: 'Put on shelf' }).click()
  await expect(page.getByRole('main').getByRole('status')).toContainText(/Received 5/)
  await expectGoodScreen(page)
  await page.goto('/shelf/movements')
  await expect(page.getByRole('row').nth(1)).toContainText('Nell Arkwood')
  await expectGoodScreen(page)
})

test('a bin is counted on one sheet: Enter goes on, and what differs much is asked for again on its line', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/bins')
  await page
    .getByRole('listitem')
    .getByRole('link', { name: /[2-9] parts/ })
    .first()
    .click()
  await page.getByRole('link', { name: 'Count this bin' }).click()
  const sheet = page.getByRole('form', { name: 'Count sheet' })
  const fields = sheet.getByRole('textbox')
  await expect(fields.first()).toHaveValue('')
  await expectGoodScreen(page)
  await fields.nth(0).fill('many')
  await fields.nth(0).press('Enter')
  await expect(fields.nth(1)).toBeFocused()
  // A count that nobody has in stock.
  await fields.nth(1).fill('977')
  await sheet.getByRole('button', { name: 'Save the counts' }).click()
  await expect(sheet.getByRole('status')).toContainText('Counted 2 lines: 1 to count again, 1 not kept.')
  await expect(fields.nth(0)).toHaveValue('many')
  // The second count is as blind as the first.
  await expect(fields.nth(1)).toHaveValue('')
  await expect(sheet).toContainText('the books say otherwise')
  await expectGoodScreen(page)
  await fields.nth(1).fill('977')
  // Looking for something else that lies here wipes no count.
  await page.getByLabel('Part number or word').fill('nut')
  await page.getByRole('button', { name: 'Find' }).click()
  await expect(page).toHaveURL(/q=nut/)
  await expect(fields.nth(0)).toHaveValue('many')
  await expect(fields.nth(1)).toHaveValue('977')
})

test('a mechanic may not receive, and is told who may', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/shelf/receive')
  await expect(page.getByRole('main')).toContainText(/storekeeper/i)
  await expect(page.getByRole('button', { name: /^Receive/ })).toHaveCount(0)
})
