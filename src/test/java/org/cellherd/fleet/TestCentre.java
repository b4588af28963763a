package org.cellherd.fleet;

import io.zonky.test.db.postgres.embedded.EmbeddedPostgres;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import org.cellherd.Await;
import org.cellherd.Tools;
import org.jspecify.annotations.Nullable;

/**
 * A PostgreSQL of this run: one server for all tests, a database for each. As root it is started in
 * a user namespace of its own; where that is not allowed, tests say so and are skipped.
 */
public final class TestCentre implements CentreUnderTest {

  private static final AtomicInteger NUMBER = new AtomicInteger();
  private static @Nullable EmbeddedPostgres server;
  private static @Nullable String refusal;

  private final String database;

  private TestCentre(String database) {
    this.database = database;
  }

  /** An empty database. */
  public static synchronized TestCentre fresh() {
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
    return CentreAddress.of(url("postgres"), new char[0], Optional.empty());
  }

  /** Its address as a user writes it. */
  public String url(String user) {
    return "postgresql://" + user + "@127.0.0.1:" + server().getPort() + "/" + database;
  }

  /** Its name. */
  String database() {
    return database;
  }

  /** A new user of this database alone: a role that may log in. */
  public String user(String options) {
    String user = database + "_" + NUMBER.incrementAndGet();
    run("CREATE ROLE " + user + " LOGIN " + options);
    return user;
  }

  /** From now on a user must give the password; others need none. */
  public void askForPassword(String user) throws IOException {
    rule("host", user, "scram-sha-256");
  }

  /** From now on a user gets in by TLS only, which this server does not speak. */
  public void demandTls(String user) throws IOException {
    rule("hostnossl", user, "reject");
  }

  private void rule(String kind, String user, String method) throws IOException {
    Path rules = Path.of(text("SHOW hba_file"));
    String rule = String.join(" ", kind, "all", user, "127.0.0.1/32", method) + "\n";
    Files.writeString(rules, rule + Files.readString(rules));
    run("SELECT pg_reload_conf()");
    // The server's main process reads the file when it comes to it.
    Await.until("the rule counts", () -> isRefused(user));
  }

  private boolean isRefused(String user) {
    String url = "jdbc:postgresql://127.0.0.1:" + server().getPort() + "/" + database;
    try (Connection in = DriverManager.getConnection(url, user, "")) {
      return in.isClosed();
    } catch (SQLException refused) {
      return true;
    }
  }

  /** Nobody gets into this database any more. */
  public void refuseConnections() {
    try (Connection connection = server().getPostgresDatabase().getConnection();
        Statement statement = connection.createStatement()) {
      statement.execute("ALTER DATABASE " + database + " ALLOW_CONNECTIONS false");
    } catch (SQLException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Runs a statement in this database as its owner. */
  public void run(String sql) {
    try (Connection connection = server().getDatabase("postgres", database).getConnection();
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    } catch (SQLException e) {
      throw new IllegalStateException(e);
    }
  }

  /** The one value that a question has. */
  public String text(String sql) {
    try (Connection connection = server().getDatabase("postgres", database).getConnection();
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(sql)) {
      row.next();
      return row.getString(1);
    } catch (SQLException e) {
      throw new IllegalStateException(e);
    }
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
