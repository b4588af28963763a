package org.cellherd.fleet.trial;

import java.io.IOException;

/**
 * A PostgreSQL of its own for trying things out: on a free port of loopback, in a temporary folder,
 * gone when it is closed. It is on the class path of the build, and left out of the installed
 * program.
 */
public final class EmbeddedCentre implements AutoCloseable {

  private static final String PROBE = "io.zonky.test.db.postgres.embedded.EmbeddedPostgres";

  private final EmbeddedServer server;

  private EmbeddedCentre(EmbeddedServer server) {
    this.server = server;
  }

  /** True when one can be started here. */
  public static boolean isPresent() {
    try {
      Class.forName(PROBE, false, EmbeddedCentre.class.getClassLoader());
      return true;
    } catch (ClassNotFoundException e) {
      return false;
    }
  }

  /**
   * Starts one. Close it in a {@code finally}.
   *
   * @throws IllegalStateException when there is none on the class path
   * @throws IOException when it does not start
   */
  public static EmbeddedCentre start() throws IOException {
    if (!isPresent()) {
      throw new IllegalStateException(
          "this program was built without a PostgreSQL inside: name one, such as"
              + " postgresql://USER@127.0.0.1/DATABASE");
    }
    return new EmbeddedCentre(EmbeddedServer.start());
  }

  /** Its address as {@code --store} takes it. */
  public String url() {
    return "postgresql://postgres@127.0.0.1:" + server.port() + "/postgres";
  }

  @Override
  public void close() {
    server.stop();
  }
}
