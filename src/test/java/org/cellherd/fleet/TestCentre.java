package org.cellherd.fleet;

import io.zonky.test.db.postgres.embedded.EmbeddedPostgres;
import java.io.IOException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import org.cellherd.Tools;
import org.jspecify.annotations.Nullable;

/**
 * A PostgreSQL of this run: one server for all tests, a database for each. As root it is started in
 * a user namespace of its own; where that is not allowed, tests say so and are skipped.
 */
final class TestCentre implements CentreUnderTest {

  private static final AtomicInteger NUMBER = new AtomicInteger();
  private static @Nullable EmbeddedPostgres server;
  private static @Nullable String refusal;

  private final String database;

  private TestCentre(String database) {
    this.database = database;
  }

  /** An empty database. */
  static synchronized TestCentre fresh() {
    TestCentre centre = new TestCentre("sites_" + NUMBER.incrementAndGet());
    try (Connection connection = server().getPostgresDatabase().getConnection();
        Statement statement = connection.createStatement()) {
      statement.execute("CREATE DATABASE " + centre.database);
    } catch (SQLException e) {
      throw new IllegalStateException(e);
    }
    return centre;
  }

  private static EmbeddedPostgres server() {
    EmbeddedPostgres running = server;
    if (running == null) {
      if (refusal == null) {
        try {
          running = EmbeddedPostgres.builder().setServerConfig("max_connections", "60").start();
          server = running;
          return running;
        } catch (IOException | IllegalStateException e) {
          refusal = "PostgreSQL does not start here: " + e.getMessage();
        }
      }
      throw Tools.missing(String.valueOf(refusal));
    }
    return running;
  }

  @Override
  public CentreAddress address() {
    return CentreAddress.of(
        "postgresql://postgres@127.0.0.1:" + server().getPort() + "/" + database,
        new char[0],
        Optional.empty());
  }

  /** Ends every connection to this database. */
  @Override
  public void disturb() {
    try (Connection connection = server().getPostgresDatabase().getConnection();
        Statement statement = connection.createStatement()) {
      statement.execute(
          "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '"
              + database
              + "'");
    } catch (SQLException e) {
      throw new IllegalStateException(e);
    }
  }

  /** The server goes on for the other tests of this run. */
  @Override
  public void close() {}
}
