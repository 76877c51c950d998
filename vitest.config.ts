import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  resolve: { alias: { '@': fileURLToPath(new URL('.', import.meta.url)).replace(/\/$/, '') } },
  test: {
    // tests/served needs the built screens: tests/run.mjs builds them first and then runs that folder alone.
    include: process.env.SERVED ? ['tests/served/**/*.test.ts'] : ['tests/**/*.test.ts'],
    exclude: process.env.SERVED ? [] : ['tests/served/**'],
    globalSetup: ['tests/support/template-database.ts'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    pool: 'forks',
    // A file finds the modules of the files before it loaded: half of the time went to loading the same ones 230 times. What a
    // test changes of the process it puts back itself, and `useWorkshop` closes its database.
    isolate: false,
    maxWorkers: 2,
  },
})
