package org.cellherd.fleet.trial;

import io.zonky.test.db.postgres.embedded.EmbeddedPostgres;
import java.io.IOException;
import java.util.logging.Level;
import java.util.logging.Logger;

/** The one class that names the library, loaded only when it is there. */
final class EmbeddedServer {

  /** Held, so that the level set on it is not collected away. */
  private static final Logger NOISE = Logger.getLogger("io.zonky");

  private final EmbeddedPostgres server;

  private EmbeddedServer(EmbeddedPostgres server) {
    this.server = server;
  }

  static EmbeddedServer start() throws IOException {
    NOISE.setLevel(Level.SEVERE);
    return new EmbeddedServer(EmbeddedPostgres.start());
  }

  int port() {
    return server.getPort();
  }

  void stop() {
    try {
      server.close();
    } catch (IOException left) {
      System.getLogger(EmbeddedServer.class.getName())
          .log(System.Logger.Level.DEBUG, "left: " + left.getMessage());
    }
  }
}
