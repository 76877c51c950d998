import { defineConfig } from 'prisma/config'
import { SEARCH_TABLES } from './prisma/search-tables.ts'

// Read by `npx prisma ...` only. Our own start, tests and migrate command go through prisma/migrate.ts, which needs no
// engine binary; where Prisma can fetch its binary, `npx prisma migrate` works on the same files.
export default defineConfig({
  schema: 'prisma/schema.prisma',
  migrations: { path: 'prisma/migrations' },
  experimental: { externalTables: true },
  tables: { external: SEARCH_TABLES },
  datasource: { url: process.env.DATABASE_URL ?? 'file:./data/cotterbook.db' },
})
