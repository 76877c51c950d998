import sharp from 'sharp'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** The trailer of the demo is marked unsafe: its brake job is taken from a photo to the signed release. */
test('a photo, a measured test and a hand-over note stand on the brake job', async ({ page }) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/jobs')
  await page.getByRole('row').filter({ hasText: 'left drum stays cold' }).getByRole('link').first().click()
  await page.waitForURL(/\/jobs\/\d+$/)
  const job = page.url()
  await expect(page.getByText('Unsafe, do not use').first()).toBeVisible()

  const shot = await sharp({ create: { width: 900, height: 600, channels: 3, background: '#665544' } })
    .jpeg()
    .toBuffer()
  await page.getByText('Add a photo: complaint').click()
  await page
    .getByLabel('Photo', { exact: true })
    .setInputFiles({ name: 'drum.jpg', mimeType: 'image/jpeg', buffer: shot })
  await page.getByLabel('What it shows').fill('Left drum, cold after the run')
  await page.getByRole('button', { name: 'Keep the photo' }).click()
  await expect(page.getByRole('img', { name: 'Left drum, cold after the run' })).toBeVisible()
  await page.getByLabel('Note for whoever goes on').fill('Wheel is off, stands under the axle')
  await page.getByRole('button', { name: 'Leave the note' }).click()
  await expect(page.getByRole('listitem').filter({ hasText: 'Wheel is off, stands under the axle' })).toBeVisible()
  await expectGoodScreen(page)

  await page.goto(`${job}/rebuild`)
  const measured = page.getByRole('listitem').filter({ hasText: 'Lining of each shoe measured' }).first()
  await measured.getByLabel('Lining thickness, mm').fill('3.2')
  await measured.getByRole('button', { name: 'Keep the value' }).click()
  await expect(measured).toContainText('outside, stops the release')
  await expectGoodScreen(page)
  await measured.getByLabel('Lining thickness, mm').fill('6.5')
  await measured.getByRole('button', { name: 'Keep the value' }).click()
  await expect(measured).toContainText('inside')

  await page.goto(`${job}/strip`)
  await expectGoodScreen(page)
  await page.goto(`${job}/close`)
  await expect(page.getByLabel('Your PIN or password, to release it to work')).toBeVisible()
  await expectGoodScreen(page)
})
