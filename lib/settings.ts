import { mkdirSync } from 'node:fs'
import { isAbsolute, join, resolve } from 'node:path'
import { z } from 'zod'

/** The environment, read once and checked: every fault is listed at once, in words that say what to set. */
const Environment = z
  .object({
    PORT: z.coerce.number({ error: 'PORT must be a number' }).int().min(1).max(65535).default(3000),
    HOST: z.string().min(1).default('127.0.0.1'),
    DATA_DIR: z.string().min(1).default('data'),
    DATABASE_URL: z
      .string()
      .refine((url) => url.startsWith('file:'), 'DATABASE_URL must start with file: (an SQLite file)')
      .optional(),
    CURRENCY: z
      .string()
      .regex(/^[A-Z]{3}$/, 'CURRENCY must be a three-letter ISO 4217 code')
      .default('GBP'),
    SMTP_HOST: z.string().min(1).optional(),
    SMTP_PORT: z.coerce.number({ error: 'SMTP_PORT must be a number' }).int().min(1).max(65535).optional(),
    SMTP_TLS: z
      .enum(['starttls', 'tls', 'none'], { error: 'SMTP_TLS must be starttls, tls or none' })
      .default('starttls'),
    SMTP_USER: z.string().min(1).optional(),
    SMTP_PASSWORD: z.string().min(1).optional(),
    SMTP_FROM: z.string().min(3).optional(),
  })
  .refine(({ SMTP_HOST, SMTP_FROM }) => SMTP_HOST === undefined || SMTP_FROM !== undefined, {
    path: ['SMTP_FROM'],
    error: 'SMTP_FROM must name the address that orders are sent from, since SMTP_HOST is set',
  })

export interface Settings {
  port: number
  host: string
  dataDir: string
  picturesDir: string
  /** Tiles cut from large scans: a cache beside the pictures, no part of a backup. */
  tilesDir: string
  documentsDir: string
  /** Files brought to the page desk, and the pages read from them. */
  pagesDir: string
  databaseUrl: string
  /** Plain path of the SQLite file. */
  databaseFile: string
  currency: string
  /** How mail leaves the house; null where nobody set SMTP_HOST. */
  smtp: {
    host: string
    port: number
    tls: 'starttls' | 'tls' | 'none'
    user: string | null
    password: string | null
    from: string
  } | null
}

export function settingsRead(env: Record<string, string | undefined> = process.env): Settings {
  const read = Environment.safeParse(env)
  if (!read.success) {
    const faults = read.error.issues.map((issue) => `  ${issue.path.join('.')}: ${issue.message}`)
    throw new Error(`The settings in the environment cannot be used:\n${faults.join('\n')}`)
  }
  const dataDir = resolve(read.data.DATA_DIR)
  const databaseFile = read.data.DATABASE_URL ? filePath(read.data.DATABASE_URL) : join(dataDir, 'cotterbook.db')
  return {
    port: read.data.PORT,
    host: read.data.HOST,
    dataDir,
    picturesDir: join(dataDir, 'pictures'),
    tilesDir: join(dataDir, 'pictures-cache'),
    documentsDir: join(dataDir, 'documents'),
    pagesDir: join(dataDir, 'pages'),
    databaseFile,
    databaseUrl: `file:${databaseFile}`,
    currency: read.data.CURRENCY,
    smtp: smtpOf(read.data),
  }
}

function smtpOf(env: z.output<typeof Environment>): Settings['smtp'] {
  if (env.SMTP_HOST === undefined) return null
  return {
    host: env.SMTP_HOST,
    // Ports of message submission: RFC 8314.
    port: env.SMTP_PORT ?? (env.SMTP_TLS === 'tls' ? 465 : 587),
    tls: env.SMTP_TLS,
    user: env.SMTP_USER ?? null,
    password: env.SMTP_PASSWORD ?? null,
    from: env.SMTP_FROM!,
  }
}

function filePath(url: string): string {
  const path = url.replace(/^file:(\/\/)?/, '').replace(/\?.*$/, '')
  return isAbsolute(path) ? path : resolve(path)
}

/** Makes the folders that the settings name. */
export function settingsMakeFolders(settings: Settings): void {
  mkdirSync(settings.picturesDir, { recursive: true })
  mkdirSync(settings.documentsDir, { recursive: true })
  mkdirSync(resolve(settings.databaseFile, '..'), { recursive: true })
}
