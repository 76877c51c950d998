import type { Page } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** The tests of a figure of the demo. Lists that are saved stay, so each test has a figure of its own and puts it back. */
async function openTests(page: Page, model: string, figure: RegExp): Promise<void> {
  await page.goto('/models')
  await page.getByRole('link', { name: model }).click()
  await page.getByRole('link', { name: figure }).click()
  await page.getByRole('link', { name: 'Tests', exact: true }).click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Tests: ')
}

const rows = (page: Page) =>
  page.getByRole('region', { name: 'List of tests' }).getByRole('list').first().getByRole('listitem')
const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
const saved = (page: Page) => page.getByText('As it is in the book.')
const save = async (page: Page) => {
  await press(page, 'Save the list')
  await expect(saved(page)).toBeVisible()
}
const words = (page: Page) =>
  rows(page).evaluateAll((all) => all.map((one) => one.querySelector('button')!.textContent))

test('tests are added with limits, refused with what to type, moved, taken out, and earlier lists come back', async ({
  page,
}) => {
  test.setTimeout(150_000)
  await signIn(page, 'Sam Lutterby')
  await openTests(page, 'Dunmarrow T6', /5-04/)
  const before = await words(page)
  expect(before.length).toBeGreaterThan(2)
  await expect(page.getByText('lining thickness', { exact: false }).first()).toBeVisible()
  await expectGoodScreen(page)

  await press(page, 'Add a test')
  const last = rows(page).last()
  await last.getByLabel('What is tested').fill('Hub end float on a dial gauge.')
  await last.getByLabel('A value is measured').check()
  await last.getByLabel('What is measured').fill('End float')
  await last.getByLabel('Lowest allowed').fill('0.15')
  await last.getByLabel('Highest allowed').fill('0,05')
  await expect(last.getByLabel(/^At each side/)).toBeChecked()
  await press(page, 'Save the list')
  await expect(page.getByRole('alert').filter({ hasText: 'cannot be used' })).toBeVisible()
  // What is wrong stands at its field, and the first of them has the focus.
  await expect(last.getByLabel('Unit')).toBeFocused()
  await expect(last).toContainText('give the unit: mm, bar, N m')
  await expect(last).toContainText('below the lowest (0.15): nothing could pass; change one of them')
  await expectGoodScreen(page)
  await last.getByLabel('Unit').fill('mm')
  await last.getByLabel('Lowest allowed').fill('thin')
  await press(page, 'Save the list')
  await expect(last).toContainText('“thin” is no number: type it alone, such as 4.2')
  await last.getByLabel('Lowest allowed').fill('0.05')
  await last.getByLabel('Highest allowed').fill('0,15')
  await expect(last).toContainText('End float: 0.05 to 0.15 mm; at each side')

  // One for after the first run, moved up before it.
  await press(page, 'Add a test')
  const later = rows(page).last()
  await later.getByLabel('What is tested').fill('Hub no warmer than the hand bears.')
  await later.getByLabel('When').selectOption('after-run')
  await later.getByRole('button', { name: /^Earlier/ }).click()
  expect(await words(page)).toHaveLength(before.length + 2)
  expect((await words(page)).at(-2)).toContain('Hub no warmer than the hand bears.after the first loaded run')
  await save(page)
  await expect(page.getByRole('status').filter({ hasText: /^Saved, and on \d+ open jobs? too\.$/ })).toBeVisible()
  await page.reload()
  expect((await words(page)).at(-1)).toContain('End float: 0.05 to 0.15 mm')
  await expectGoodScreen(page)

  // The trailer's open brake job asks for it, and says so to whoever works on it.
  await page.goto('/jobs')
  const job = (await page
    .getByRole('row')
    .filter({ hasText: 'left drum stays cold' })
    .getByRole('link')
    .first()
    .getAttribute('href'))!
  await page.goto(`${job}/rebuild`)
  await expect(page.getByRole('listitem').filter({ hasText: 'Hub end float on a dial gauge. (LH)' })).toBeVisible()
  await expect(page.getByRole('region', { name: 'After the first loaded run' })).toContainText('Hub no warmer')
  await page.goto(job)
  await expect(page.getByRole('listitem').filter({ hasText: 'Tests of figure 5-04' }).last()).toContainText(
    /new: .*Hub end float on a dial gauge.*Sam Lutterby/,
  )

  // Put back as it came, for whoever tests this hub next.
  await openTests(page, 'Dunmarrow T6', /5-04/)
  await rows(page).last().getByRole('button').first().click()
  await rows(page)
    .last()
    .getByRole('button', { name: /^Take out/ })
    .click()
  await expect(page.getByText('Not saved yet.')).toBeVisible()
  await page.getByText('Earlier lists').click()
  await press(page, 'Open the list that came with the figure')
  expect(await words(page)).toEqual(before)
  await save(page)
  await page.goto(`${job}/rebuild`)
  await expect(page.getByRole('main')).not.toContainText('Hub end float on a dial gauge.')
})

test('who saved a list in between is named, and both lists can go in', async ({ page, browser }) => {
  await signIn(page, 'Sam Lutterby')
  await openTests(page, 'Stourleigh FM 180', /3-02/)
  const before = await words(page)
  const other = await (await browser.newContext()).newPage()
  await signIn(other, 'Marit Quillbeck')
  await other.goto(page.url())
  const add = async (where: Page, text: string) => {
    await press(where, 'Add a test')
    await rows(where).last().getByLabel('What is tested').fill(text)
  }
  await add(other, 'Guard flaps hang free.')
  await save(other)
  await other.context().close()
  await add(page, 'Rotor turned by hand once round.')
  await press(page, 'Save the list')
  await expect(page.getByRole('alert').filter({ hasText: 'Marit Quillbeck saved another list' }).first()).toBeVisible()
  await expectGoodScreen(page)
  await press(page, 'Put both together')
  await expect
    .poll(async () => (await words(page)).slice(-2))
    .toEqual([
      expect.stringContaining('Guard flaps hang free.'),
      expect.stringContaining('Rotor turned by hand once round.'),
    ])
  await save(page)
  const both = await words(page)
  await page.getByText('Earlier lists').click()
  await press(page, 'Open the list that came with the figure')
  await expect.poll(() => words(page)).toEqual(before)
  await press(page, 'Undo')
  await expect.poll(() => words(page)).toEqual(both)
  await press(page, 'Open the list that came with the figure')
  await expect.poll(() => words(page)).toEqual(before)
  await save(page)
})
