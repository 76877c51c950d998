import { existsSync } from 'node:fs'
import { defineConfig, devices } from '@playwright/test'
import { AT_DESK, ON_PHONE, specsOf } from './e2e/support/widths.ts'

const PORT = Number(process.env.E2E_PORT ?? 3177)
const baseURL = `http://127.0.0.1:${PORT}`
// Two runs beside each other, each with a workshop of its own, share nothing but the build.
const data = `.cache/e2e-data-${PORT}`
// The system's browser where there is one; else Playwright's own.
const system = [process.env.CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
  (path) => path && existsSync(path),
)
const launchOptions = {
  ...(system ? { executablePath: system } : {}),
  // A browser run by root (containers) has no sandbox of its own.
  args: [
    ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--no-first-run',
  ],
}

export default defineConfig({
  testDir: 'e2e',
  outputDir: `.cache/e2e-results-${PORT}`,
  workers: 1,
  retries: 0,
  timeout: 120_000,
  expect: { timeout: 20_000 },
  reporter: [['list'], ['json', { outputFile: process.env.E2E_REPORT ?? '.cache/browser.json' }]],
  use: { baseURL, trace: process.env.CI ? 'off' : 'retain-on-failure', launchOptions },
  projects: [
    { name: 'desk', testIgnore: specsOf(ON_PHONE), use: { viewport: { width: 1280, height: 800 } } },
    {
      name: 'phone',
      testIgnore: specsOf(AT_DESK),
      use: { ...devices['Pixel 7'], viewport: { width: 360, height: 740 }, defaultBrowserType: 'chromium' },
    },
  ],
  webServer: {
    command: `node --import tsx e2e/support/serve.ts ${PORT}`,
    url: `${baseURL}/sign-in`,
    reuseExistingServer: false,
    timeout: 240_000,
    gracefulShutdown: { signal: 'SIGTERM', timeout: 5_000 },
    env: { DATA_DIR: data, NEXT_TELEMETRY_DISABLED: '1' },
  },
})
