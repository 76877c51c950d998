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
  await form.getByRole('button').click()
  await expect(page.getByRole('main').getByRole('status')).toContainText(/Received 5/)
  await expectGoodScreen(page)
  await page.goto('/shelf/movements')
  await expect(page.getByRole('row').nth(1)).toContainText('Nell Arkwood')
  await expectGoodScreen(page)
})

test('a mechanic may not receive, and is told who may', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/shelf/receive')
  await expect(page.getByRole('main')).toContainText(/storekeeper/i)
  await expect(page.getByRole('button', { name: /^Receive/ })).toHaveCount(0)
})
