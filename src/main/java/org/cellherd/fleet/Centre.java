package org.cellherd.fleet;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.sql.Database;
import org.jspecify.annotations.Nullable;
import org.postgresql.Driver;

/** One connection to the centre's PostgreSQL. Belongs to one thread. */
public final class Centre implements AutoCloseable {

  /** Work on the connection that gives a result. */
  @FunctionalInterface
  interface Work<T extends @Nullable Object> {
    T run(Connection connection) throws SQLException, CentreTrouble;
  }

  private final CentreAddress address;
  private final Connection connection;

  private Centre(CentreAddress address, Connection connection) {
    this.address = address;
    this.connection = connection;
  }

  /**
   * Connects, and makes or brings up to date the schema.
   *
   * @throws CentreTrouble also when a newer program made the schema
   */
  public static Centre openForWriting(CentreAddress address) throws CentreTrouble {
    Centre centre = connect(address);
    centre.orClose(c -> CentreSchema.migrate(c, address.toString()));
    return centre;
  }

  /** Connects for questions only. */
  public static Centre openForReading(CentreAddress address) throws CentreTrouble {
    Centre centre = connect(address);
    centre.orClose(
        c -> {
          CentreSchema.check(c, address.toString());
          Database.execute(c, "SET default_transaction_read_only = on");
          return true;
        });
    return centre;
  }

  static Centre connect(CentreAddress address) throws CentreTrouble {
    try {
      // Not by the driver manager: that would load each driver there is.
      Connection connection = new Driver().connect(address.url(), address.properties());
      if (connection == null) {
        throw new CentreTrouble("centre " + address + " is no address that the driver knows");
      }
      return new Centre(address, connection);
    } catch (SQLException e) {
      throw CentreTrouble.of(address, e);
    }
  }

  /** What a driver's error means. */
  CentreTrouble trouble(SQLException e) {
    return CentreTrouble.of(address, e);
  }

  private void orClose(Work<Boolean> work) throws CentreTrouble {
    try {
      change(work);
    } catch (CentreTrouble e) {
      close();
      throw e;
    }
  }

  /** Runs work as one change, all or nothing. */
  <T extends @Nullable Object> T change(Work<T> work) throws CentreTrouble {
    try {
      connection.setAutoCommit(false);
      boolean isDone = false;
      try {
        T result = work.run(connection);
        connection.commit();
        isDone = true;
        return result;
      } finally {
        if (!isDone) {
          rollBack();
        }
      }
    } catch (SQLException e) {
      throw trouble(e);
    }
  }

  private void rollBack() {
    try {
      connection.rollback();
    } catch (SQLException gone) {
      System.getLogger(Centre.class.getName())
          .log(System.Logger.Level.DEBUG, "roll-back: " + gone.getMessage());
    }
  }

  /** Runs work whose statements each count by themselves. */
  <T extends @Nullable Object> T plain(Work<T> work) throws CentreTrouble {
    try {
      connection.setAutoCommit(true);
      return work.run(connection);
    } catch (SQLException e) {
      throw trouble(e);
    }
  }

  @Override
  public void close() {
    try {
      connection.close();
    } catch (SQLException gone) {
      System.getLogger(Centre.class.getName())
          .log(System.Logger.Level.DEBUG, "closing: " + gone.getMessage());
    }
  }
}
