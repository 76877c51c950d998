import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

const HEAD = 'Manufacturer;P/N;Description;Unit cost;UOM;Shelf colour'
const file = (rows: string[]) => ({
  name: 'parts.csv',
  mimeType: 'text/csv',
  buffer: Buffer.from([HEAD, ...rows].join('\r\n')),
})

test('a buyer brings a list in: columns matched, rows mended, then imported; and takes it out again', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  // At two widths in one database: each has parts of its own.
  const width = page.viewportSize()?.width ?? 0
  const bring = async (rows: string[]) => {
    await page.goto('/exchange')
    await page.getByLabel('File', { exact: true }).setInputFiles(file(rows))
    await page.getByRole('button', { name: 'Bring the file' }).click()
    await expect(page.getByRole('heading', { name: /2 rows/ })).toBeVisible({ timeout: 30_000 })
  }

  await bring([`Oakmoor;E2E-${width}-1;Ball bearing;12,50;ea;red`, `Oakmoor;E2E-${width}-2;Bush;dear;ea;red`])
  await expect(page.getByLabel(/^number/)).toHaveValue('1')
  await expect(page.getByText('Not used: Shelf colour')).toBeVisible()
  await expectGoodScreen(page)
  await page.getByRole('button', { name: 'Rehearse' }).click()
  await expect(page.getByRole('heading', { name: /1 row.* refused/ })).toBeVisible({ timeout: 30_000 })
  await expectGoodScreen(page)
  const refused = await page.request.get(`${page.url()}/refused.csv`)
  expect(await refused.text()).toContain('"cost ""dear"" is no amount')
  await expect(page.getByRole('button', { name: 'Bring it in' })).toHaveCount(0)

  await bring([`Oakmoor;E2E-${width}-1;Ball bearing;12,50;ea;red`, `Oakmoor;E2E-${width}-2;Bush;3,10;ea;red`])
  await page.getByRole('button', { name: 'Rehearse' }).click()
  await expect(page.getByRole('heading', { name: /nothing stands in the way/ })).toBeVisible({ timeout: 30_000 })
  await page.getByRole('button', { name: 'Bring it in' }).click()
  await expect(page.getByRole('heading', { name: /Brought in/ })).toBeVisible({ timeout: 30_000 })
  await expectGoodScreen(page)

  const out = await page.request.get('/exchange/export/parts.csv')
  expect(await out.text()).toContain(`Oakmoor,E2E-${width}-2,Bush,other,each,essential,3.10,GBP`)
})

test('a mechanic takes lists out and brings none in', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/exchange')
  await expect(page.getByText('A storekeeper or buyer brings lists in')).toBeVisible()
  expect((await page.request.get('/exchange/export/machines.json')).status()).toBe(200)
  const sent = await page.request.post('/exchange/bring?kind=parts&file=a.csv&bytes=1&from=0', {
    headers: { 'idempotency-key': '0123456789abcdef0123456789abcdef' },
    data: 'a',
  })
  expect(sent.status()).toBe(403)
})
