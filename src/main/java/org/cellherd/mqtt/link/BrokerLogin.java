package org.cellherd.mqtt.link;

/** User and password. Never printed. */
public final class BrokerLogin {

  private final String user;
  private final char[] password;

  /** Copies the password; the caller may then wipe its own. */
  public BrokerLogin(String user, char[] password) {
    this.user = user;
    this.password = password.clone();
  }

  public String user() {
    return user;
  }

  char[] password() {
    return password.clone();
  }

  @Override
  public String toString() {
    return "BrokerLogin[" + user + ", ...]";
  }
}
