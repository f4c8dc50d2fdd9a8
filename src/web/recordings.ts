import { join } from 'node:path';
import express from 'express';

/** Recorded prompts for the carrier to play: `/recordings/<language>/<file>.mp3`, from each language's own folder. */
export function recordingRoutes(localesFolder: string): express.Router {
  const router = express.Router();
  router.get('/recordings/:language/:file', (request, response, next) => {
    const { language, file } = request.params;
    if (!/^[a-z]{2,3}(-[A-Z][a-z]+)?$/.test(language) || !/^[a-zA-Z0-9_.-]+\.mp3$/.test(file)) {
      next();
      return;
    }
    response.sendFile(
      file,
      { root: join(localesFolder, language, 'recordings'), dotfiles: 'deny' },
      (error) => {
        if (error !== undefined && !response.headersSent) next();
      },
    );
  });
  return router;
}
