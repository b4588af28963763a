package org.cellherd.fleet;

import java.sql.SQLException;
import java.util.Map;

/** The centre's database cannot be used now. The message is one line: where, what, what to do. */
public final class CentreTrouble extends Exception {

  private static final Map<String, String> WORDS =
      Map.of(
          "28P01", "refuses the password; see --store-password-file",
          "28000", "refuses the login; see the address's user and the server's access rules",
          "3D000", "has no database of that name",
          "42501", "does not give this user the right to do that; see the roles in fleet.md",
          "53100", "has no room on its disk; what sites send waits with them",
          "53300", "takes no more connections",
          "08001", "cannot be reached",
          "08004", "turns the connection away",
          "57P03", "is starting up or shutting down");

  private final boolean isData;

  private CentreTrouble(String message, boolean isData, Throwable cause) {
    super(message, cause);
    this.isData = isData;
  }

  /** Found by ourselves. */
  CentreTrouble(String message) {
    super(message);
    this.isData = false;
  }

  /** What a driver's error means. */
  static CentreTrouble of(String where, SQLException e) {
    SQLException first = e.getNextException() != null ? e.getNextException() : e;
    String state = String.valueOf(first.getSQLState());
    String said = String.valueOf(first.getMessage()).lines().findFirst().orElse("");
    String what = WORDS.getOrDefault(state, "failed");
    boolean isData = state.startsWith("22") || state.startsWith("23");
    return new CentreTrouble("centre " + where + " " + what + " (" + said + ")", isData, e);
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
