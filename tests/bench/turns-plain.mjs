/** What a text costs with no line behind it: express, its own form reader, the SDK's signature check, fixed TwiML. */
import express from 'express';
import { validateRequest } from 'twilio/lib/webhooks/webhooks.js';
import { account, publicUrl, textPath } from './turns-account.mjs';

const app = express();
app.use(express.urlencoded({ extended: false }));
app.post(textPath, (request, response) => {
  const signature = request.get('x-twilio-signature') ?? '';
  if (!validateRequest(account.authToken, signature, publicUrl + textPath, request.body)) {
    response.status(403).end();
    return;
  }
  response
    .type('text/xml')
    .send(
      '<?xml version="1.0" encoding="UTF-8"?><Response><Message>Thank you. We ask again tomorrow.</Message></Response>',
    );
});
const server = app.listen(0, '127.0.0.1', () => process.send({ port: server.address().port }));
process.on('message', (asked) => {
  if (asked.kind === 'cpu') process.send({ cpu: process.cpuUsage() });
  else if (asked.kind === 'kept') process.send({ kept: 0 });
});
process.on('disconnect', () => process.exit(0));
