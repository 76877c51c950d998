import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

const PDF = '%PDF-1.7\n1 0 obj << >> endobj\ntrailer << >>\nstartxref\n0\n%%EOF\n'

test('a storekeeper enters a part, says what replaces it, is told of a loop, and keeps a sheet with it', async ({
  page,
  isMobile,
}) => {
  const number = (which: string) => `ZQ-${isMobile ? 'P' : 'D'}${which}`
  await signIn(page, 'Nell Arkwood')
  for (const which of ['1', '2']) {
    await page.goto('/parts/new')
    await page.getByLabel('Part number').fill(number(which))
    await page.getByLabel('Maker').fill('Wexcombe')
    await page.getByLabel('Description').fill(`Test gauge ${which}`)
    await page.getByRole('button', { name: 'Enter it' }).click()
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(`Test gauge ${which}`)
  }
  const second = page.url()

  // The second is replaced by the first, and then the first cannot be replaced by the second.
  await page.goto(`${second}/instead`)
  await expectGoodScreen(page)
  const enter = async (other: string) => {
    await page.getByText('Enter what replaces it').click()
    await page.getByLabel('Number of the new part').fill(other)
    await page.getByLabel('How many new for one old').fill('2')
    await page.getByRole('button', { name: 'Keep it', exact: true }).click()
  }
  await enter(number('1'))
  await expect(page.getByText('2 for one').first()).toBeVisible()
  await page
    .getByRole('link', { name: number('1'), exact: true })
    .first()
    .click()
  await page.getByRole('link', { name: 'What replaces it, alternatives' }).click()
  await expect(page).toHaveURL(/\/instead$/)
  await enter(number('2'))
  const loop = `That would make a loop: ${number('1')} -> ${number('2')} -> ${number('1')}.`
  await expect(page.getByText(loop)).toBeVisible()

  await page.goto(second)
  await page.getByText('Add a picture or PDF').click()
  await page.getByLabel('Picture or PDF').setInputFiles({
    name: 'fitting sheet.pdf',
    mimeType: 'application/pdf',
    buffer: Buffer.from(PDF),
  })
  await page.getByLabel('What it shows').fill('How it is fitted')
  await page.getByRole('button', { name: 'Keep it', exact: true }).click()
  const link = page.getByRole('link', { name: 'fitting sheet.pdf' })
  await expect(link).toBeVisible()
  const answer = await page.request.get((await link.getAttribute('href'))!)
  expect(answer.headers()).toMatchObject({
    'content-type': 'application/pdf',
    'content-disposition': expect.stringMatching(/^attachment; filename="fitting sheet.pdf"/),
    'x-content-type-options': 'nosniff',
  })
  await expectGoodScreen(page)
  await page.getByRole('button', { name: /^Take off/ }).click()
  await expect(page.getByText('Taken off before: 1')).toBeVisible()

  await page.goto(`${second}/edit`)
  await expectGoodScreen(page)
  await page.getByLabel('Since').fill('2026-10-01')
  await page.getByLabel(/Who says so/).fill('Letter of the maker')
  await page.getByRole('button', { name: 'Mark as no longer made' }).click()
  await expect(page.getByRole('heading', { name: 'No longer made', exact: true })).toBeVisible()
  await page.goto(second)
  await expect(page.getByRole('heading', { name: /No longer made, since 1 Oct 2026/ })).toBeVisible()
  await expectGoodScreen(page)
})

test('the parts list says what is not sold separately, and the part card what to order instead', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/models')
  await page.getByRole('link', { name: /P80/ }).first().click()
  await page.getByRole('link', { name: /Centrifugal pump/ }).click()
  await expect(page.getByRole('table').getByText(/not sold separately: order item 3/)).toBeVisible()
  await page.getByRole('link', { name: 'QP-1032' }).first().click()
  await expect(page.getByRole('main')).toContainText('Not sold separately: order item 3, QP-1031')
  await expectGoodScreen(page)
})

test('a figure of one model stands in the book of another as well', async ({ page, isMobile }) => {
  await signIn(page, 'Marit Quillbeck')
  await page.goto('/models')
  await page
    .getByRole('link', { name: /PS 150/ })
    .first()
    .click()
  await expect(page.getByText(/also in .*FM 180, figure 3-07/)).toBeVisible()
  await page.getByRole('link', { name: 'Use a figure of another model' }).click()
  await expect(page).toHaveURL(/\/attach$/)
  await expectGoodScreen(page)
  const [title, number] = isMobile ? ['Tipping cylinder', '9-22'] : ['Centrifugal pump', '9-21']
  await page.getByLabel('Title or number of the figure').fill(title)
  await page.getByRole('button', { name: 'Find' }).click()
  await page.getByLabel('Its number in this book').fill(number)
  await page.getByRole('button', { name: 'Put it in this book' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(title)
  await expect(page.getByText(`figure ${number}`)).toBeVisible()
})
