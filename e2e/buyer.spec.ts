import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a buyer orders what the list asks for and receives a part of it', async ({ page }) => {
  test.setTimeout(150_000)
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await expect(page.getByRole('main')).toContainText(/reorder point/)
  await expectGoodScreen(page)
  const csv = await page.request.get('/buying/list.csv')
  expect(csv.headers()['content-type']).toContain('text/csv')
  expect((await csv.text()).split('\n').length).toBeGreaterThan(2)

  await page.getByRole('button', { name: /Mark as ordered/ }).first().click()
  await expect(page).toHaveURL(/\/buying\/orders\/\d+$/)
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/[Oo]rder \d+/)
  await expectGoodScreen(page)
  const sheet = await page.request.get(`${page.url()}/order.csv`)
  expect(sheet.status()).toBe(200)

  // In part: one of the lines less than what is due leaves the order open.
  const quantities = page.getByRole('textbox', { name: /how many|quantity|came/i })
  await expect(quantities.first()).not.toHaveValue('')
  await page.getByRole('button', { name: /Receive|Book in/ }).last().click()
  await expect(page.getByRole('main')).toContainText(/[Rr]eceived/)
})

test('what a job takes to its reorder point comes on the list with the reason', async ({ page }) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await expect(page.getByRole('main').getByText(/left after job \d+/).first()).toBeVisible()
})
