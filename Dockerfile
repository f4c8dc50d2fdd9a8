# The line in an image. Build: docker build -t eightfeeds .
# Run: docker run --env-file .env -p 8080:8080 -v eightfeeds:/data eightfeeds

# A long-term-support release that every runtime package names in its engines.
ARG NODE=24-bookworm-slim

FROM node:${NODE} AS packages
WORKDIR /app
# better-sqlite3 brings a built file for common machines; on others it is compiled here, and the tools stay behind.
RUN apt-get update \
 && apt-get install -y --no-install-recommends python3 make g++ \
 && rm -rf /var/lib/apt/lists/*
COPY package.json package-lock.json .npmrc ./
RUN npm ci --omit=dev

FROM packages AS build
RUN npm ci --include=dev
COPY tsconfig.json tsconfig.build.json ./
COPY tools ./tools
COPY src ./src
RUN npm run build

FROM node:${NODE}
ENV NODE_ENV=production \
    HOST=0.0.0.0 \
    PORT=8080 \
    DATA_DIR=/data
WORKDIR /app
RUN install -d -o node -g node /data
COPY --from=packages /app/node_modules ./node_modules
COPY --from=build /app/dist ./dist
COPY package.json LICENSE ./
COPY flows ./flows
COPY locales ./locales
USER node
VOLUME /data
EXPOSE 8080
# SIGTERM: take no new work, finish what is in hand, close the store.
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=30s --timeout=5s --start-period=20s --retries=3 \
  CMD ["node", "-e", "fetch('http://127.0.0.1:' + process.env.PORT + '/healthz').then((r) => process.exit(r.ok ? 0 : 1), () => process.exit(1))"]
# Room for the objects of a few hundred turns at once: a twelfth less of the processor for up to 50 MB of memory.
CMD ["node", "--max-semi-space-size=32", "dist/main.js"]
