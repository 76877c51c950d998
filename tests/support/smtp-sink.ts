import { createServer, type Socket } from 'node:net'

export interface Sunk {
  to: string[]
  /** The message as it came over the line, dots and all. */
  message: string
}

/** What the server does with a mail: takes it, refuses the receiver, or has all of it and hangs up without a word. */
export type Manner = 'takes' | 'refuses' | 'hangs-up'

/** A mail server for a test: RFC 5321 as far as one mail needs it, on a free port of this machine. */
export async function smtpSink() {
  const mails: Sunk[] = []
  const sink = { mails, manner: 'takes' as Manner, port: 0, close: () => Promise.resolve() }
  const server = createServer((socket) => converse(socket, sink))
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = server.address()
  sink.port = typeof address === 'object' && address !== null ? address.port : 0
  sink.close = () => new Promise((resolve) => server.close(() => resolve()))
  return sink
}

function converse(socket: Socket, sink: { mails: Sunk[]; manner: Manner }) {
  let [heard, isData, to] = ['', false, [] as string[]]
  const say = (line: string) => socket.write(`${line}\r\n`)
  socket.on('error', () => undefined)
  socket.on('data', (piece) => {
    heard += piece.toString('latin1')
    for (;;) {
      const end = heard.indexOf(isData ? '\r\n.\r\n' : '\r\n')
      if (end < 0) return
      const said = heard.slice(0, end)
      heard = heard.slice(end + (isData ? 5 : 2))
      if (isData) {
        isData = false
        sink.mails.push({ to, message: said })
        to = []
        if (sink.manner === 'hangs-up') return socket.destroy()
        say('250 taken')
        continue
      }
      const word = said.slice(0, 4).toUpperCase()
      if (word === 'RCPT' && sink.manner === 'refuses') say('550 no such box here')
      else if (word === 'RCPT') to.push(/<(.*?)>/.exec(said)?.[1] ?? '')
      if (word === 'DATA') {
        isData = true
        say('354 go on')
      } else if (word === 'QUIT') {
        say('221 bye')
        return socket.end()
      } else if (!(word === 'RCPT' && sink.manner === 'refuses')) say('250 sink')
    }
  })
  say('220 sink ready')
}
