import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a buyer orders what the list asks for and receives a part of it', async ({ page, isMobile }) => {
  test.setTimeout(150_000)
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await expect(page.getByRole('main')).toContainText(/reorder point/)
  // The list itself is in sight at once; what is done more rarely is folded away on a phone, and there.
  await expect(page.getByRole('checkbox', { name: /^Order/ }).first()).toBeInViewport({ ratio: 1 })
  const more = page.locator('summary').filter({ hasText: 'More of buying' })
  await expect(more).toBeVisible({ visible: isMobile })
  if (isMobile) await more.click()
  await expect(page.getByRole('link', { name: 'Suppliers', exact: true })).toBeVisible()
  await page.getByRole('link', { name: 'how to order' }).click()
  await expect(page.getByRole('heading', { name: 'How to order' })).toBeInViewport()
  await expectGoodScreen(page)
  const csv = await page.request.get('/buying/list.csv')
  expect(csv.headers()['content-type']).toContain('text/csv')
  expect((await csv.text()).split('\n').length).toBeGreaterThan(2)

  await page
    .getByRole('button', { name: /Mark as ordered/ })
    .first()
    .click()
  await expect(page).toHaveURL(/\/buying\/orders\/\d+$/)
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/[Oo]rder \d+/)
  await expectGoodScreen(page)
  const sheet = await page.request.get(`${page.url()}/order.csv`)
  expect(sheet.status()).toBe(200)

  // In part: the first line comes, the others do not, and the order stays open.
  const receive = page.getByRole('form', { name: 'Receive what came' })
  const came = receive.getByRole('textbox')
  const lines = await came.count()
  // At the desk what came and the bin begin at one line.
  const top = async (field: typeof came) => Math.round((await field.boundingBox())!.y)
  if (!isMobile) expect(await top(came.first())).toBe(await top(receive.getByRole('combobox').first()))
  await receive.getByRole('button', { name: 'All came as ordered' }).click()
  for (let at = 0; at < lines; at++) {
    if (at > 0) await came.nth(at).fill('')
    else await expect(came.first()).toHaveValue(/^[1-9]/)
    const bin = receive.getByRole('combobox').nth(at)
    if ((await bin.inputValue()) === '') await bin.selectOption({ index: 1 })
  }
  await receive.getByRole('button').last().click()
  await expect(page.getByText(/1 line put on the shelf|received/).first()).toBeVisible()
  await expectGoodScreen(page)
})

test('what a job takes to its reorder point comes on the list with the reason', async ({ page }) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await expect(
    page
      .getByRole('main')
      .getByText(/left after job \d+/)
      .first(),
  ).toBeVisible()
})
