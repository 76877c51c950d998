import { createTransport } from 'nodemailer'

/** How mail leaves the house; from the environment, so that no password stands in the database or in a backup. */
export interface SmtpSettings {
  host: string
  port: number
  /** starttls: a plain connection that must be made secret before anything is said; tls: secret from the start. */
  tls: 'starttls' | 'tls' | 'none'
  user: string | null
  password: string | null
  /** Who writes, such as orders@orchard.example. */
  from: string
}

export interface Mail {
  to: string
  subject: string
  text: string
  attachments: readonly { filename: string; content: Uint8Array; contentType: string }[]
}

/** Why a mail did not go, or that nobody knows whether it did: the server had all of it and then said nothing. */
export class MailFailed extends Error {
  constructor(
    message: string,
    readonly mayHaveGone: boolean,
  ) {
    super(message)
  }
}

/** What sends mail by these settings; null where there are none. */
export function smtpMailer(settings: SmtpSettings | null): ((mail: Mail) => Promise<string>) | null {
  return settings === null ? null : (mail) => smtpSend(settings, mail)
}

const SECOND_MS = 1000
/** No try lasts longer than this, so that what stands as being sent for longer was broken off. */
export const SMTP_LONGEST_MS = 100 * SECOND_MS

/** Sends one mail and answers the server's last words. @throws MailFailed with why, and whether the mail may have gone all the same. */
export async function smtpSend(settings: SmtpSettings, mail: Mail): Promise<string> {
  let dataBegan = false
  const transport = createTransport({
    host: settings.host,
    port: settings.port,
    secure: settings.tls === 'tls',
    requireTLS: settings.tls === 'starttls',
    ignoreTLS: settings.tls === 'none',
    connectionTimeout: 15 * SECOND_MS,
    greetingTimeout: 15 * SECOND_MS,
    socketTimeout: 30 * SECOND_MS,
    ...(settings.user === null ? {} : { auth: { user: settings.user, pass: settings.password ?? '' } }),
    // Nothing is logged; only listened for: once DATA was said, a broken connection does not tell whether the mail arrived.
    debug: true,
    logger: listening((said) => {
      if (said === 'DATA') dataBegan = true
    }),
  })
  try {
    const { response } = await transport.sendMail({
      from: settings.from,
      to: mail.to,
      subject: mail.subject,
      text: mail.text,
      attachments: mail.attachments.map(({ content, ...one }) => ({ ...one, content: Buffer.from(content) })),
      disableFileAccess: true,
      disableUrlAccess: true,
    })
    return response
  } catch (error) {
    const { message, responseCode } = error as { message?: string; responseCode?: number }
    const why = (message ?? 'no answer').replace(/\s+/g, ' ').slice(0, 200)
    throw new MailFailed(why, dataBegan && responseCode === undefined)
  } finally {
    transport.close()
  }
}

function listening(heard: (said: string) => void) {
  const nothing = () => undefined
  const debug = (_entry: unknown, said: unknown) => heard(String(said))
  return { level: nothing, trace: nothing, debug, info: nothing, warn: nothing, error: nothing, fatal: nothing }
}
