package org.cellherd.fleet;

import java.net.UnknownHostException;
import java.security.cert.CertPathBuilderException;
import java.sql.SQLException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.net.ssl.SSLException;
import org.jspecify.annotations.Nullable;
import org.postgresql.util.PSQLException;
import org.postgresql.util.ServerErrorMessage;

/** The centre's database cannot be used now. The message is one line: where, what, what to do. */
public final class CentreTrouble extends Exception {

  private static final String NOT_LET_IN = "28000";

  private static final String NO_CONNECTION = "08001";

  private static final String PLAIN_TEXT =
      ", or ask for TLS, if it demands that, by --store-ca-file and without ?tls=off";

  /** What the server says, by its SQLSTATE. */
  private static final Map<String, String> SERVER =
      Map.of(
          "28P01",
          "refuses the password; check --store-password-file and the user in --store",
          NOT_LET_IN,
          "does not let this user in; check the user in --store and pg_hba.conf",
          "3D000",
          "has no database of that name; check --store, or make it by CREATE DATABASE",
          "42501",
          "does not give this user the right to do that; see the roles in fleet.md",
          "53100",
          "has no room on its disk; make room there",
          "53300",
          "takes no more connections; see max_connections and the limit of the user",
          "55000",
          "takes no connections to this database now; see its ALLOW_CONNECTIONS",
          "25006",
          "takes no changes, it is a standby or read-only; name the main server",
          "57P03",
          "is starting up or shutting down; try again");

  /** What it says by classes of SQLSTATE: trouble of the computer, and of the server itself. */
  private static final Map<String, String> SERVER_CLASSES =
      Map.of(
          "53", "is short of disk, memory or connections; see its log",
          "57", "ended the connection; see its log",
          "58", "cannot use its disk; see its log, and whether there is room",
          "XX", "has an internal error; see its log, and whether its disk has room");

  /** What the driver finds by itself. */
  private static final Map<String, String> DRIVER =
      Map.of(
          NO_CONNECTION,
          "cannot be reached; is the server on, is the port right?",
          "08004",
          "asks for a password; give --store-password-file",
          "08006",
          "closed the connection",
          "08P01",
          "does not answer like a PostgreSQL server; is the port right?");

  /** Classes of SQLSTATE: a value that is none, a broken rule, one too long for an index. */
  private static final List<String> DATA = List.of("22", "23", "54");

  private final boolean isData;

  private CentreTrouble(String message, boolean isData, Throwable cause) {
    super(message, cause);
    this.isData = isData;
  }

  CentreTrouble(String message) {
    super(message);
    this.isData = false;
  }

  /** What a driver's error means. */
  static CentreTrouble of(CentreAddress where, SQLException e) {
    SQLException first = e.getNextException() != null ? e.getNextException() : e;
    String state = String.valueOf(first.getSQLState());
    boolean isData = DATA.stream().anyMatch(state::startsWith);
    return new CentreTrouble("centre " + where + " " + what(where, first, state), isData, e);
  }

  private static String what(CentreAddress where, SQLException e, String state) {
    @Nullable ServerErrorMessage server =
        e instanceof PSQLException p ? p.getServerErrorMessage() : null;
    if (server != null) {
      String ofClass = SERVER_CLASSES.getOrDefault(state.substring(0, 2), "failed");
      String what = SERVER.getOrDefault(state, ofClass);
      // Most servers that let in by TLS alone say so in a sentence of their own language only.
      String more = state.equals(NOT_LET_IN) && !where.isTls() ? PLAIN_TEXT : "";
      return what + more + " (" + line(server.getMessage()) + ")";
    }
    if (state.equals(NO_CONNECTION) && e.getCause() == null) {
      // Nothing failed: the time was over.
      return "does not answer within " + CentreAddress.LOGIN_S + " s; is it stopped or very busy?";
    }
    String said = line(e.getMessage());
    return deeper(e)
        .or(() -> named(said))
        .orElseGet(() -> DRIVER.getOrDefault(state, "failed: " + said));
  }

  /** What the driver's sentence names, whichever language it is in. */
  private static Optional<String> named(String said) {
    if (said.contains("HostnameVerifier")) {
      return Optional.of("has a certificate for another name; use the name in it in --store");
    }
    return said.contains("SSL")
        ? Optional.of(
            "does not speak TLS; turn it on there, or write ?tls=off at the end of --store")
        : Optional.empty();
  }

  /** What the deepest cause says that is known. */
  private static Optional<String> deeper(Throwable failure) {
    Optional<String> best = Optional.empty();
    for (Throwable t = failure; t != null; t = t.getCause()) {
      if (t instanceof UnknownHostException) {
        best = Optional.of("cannot be reached: no address for the name; is it spelled right?");
      } else if (t instanceof CertPathBuilderException) {
        best =
            Optional.of(
                "has a certificate that no authority known here signed; see --store-ca-file");
      } else if (t instanceof SSLException) {
        best = Optional.of("failed in the TLS handshake: " + line(t.getMessage()));
      }
    }
    return best;
  }

  private static String line(@Nullable String text) {
    return String.valueOf(text).lines().findFirst().orElse("");
  }

  /** True when what was to be stored is at fault, not the database. */
  boolean isData() {
    return isData;
  }

  @Override
  public String getMessage() {
    return String.valueOf(super.getMessage());
  }
}
