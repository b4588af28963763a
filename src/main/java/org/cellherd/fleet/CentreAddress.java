package org.cellherd.fleet;

import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Properties;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Where the centre's PostgreSQL is: {@code postgresql://USER@HOST:PORT/DATABASE}. TLS with a
 * verified name, but on this computer; {@code ?tls=off} asks for plain text.
 */
public final class CentreAddress {

  /** A small computer under load takes ten and more to start and to shake hands. */
  static final int LOGIN_S = 20;

  private static final Set<String> HERE = Set.of("localhost", "127.0.0.1", "[::1]");
  private static final int USUAL_PORT = 5432;

  private final String host;
  private final int port;
  private final String database;
  private final String user;
  private final boolean isTls;
  private final char[] password;
  private final Optional<Path> caFile;

  private CentreAddress(
      URI uri, String user, boolean isTls, char[] password, Optional<Path> caFile) {
    this.host = uri.getHost();
    this.port = uri.getPort() < 0 ? USUAL_PORT : uri.getPort();
    this.database = uri.getPath().substring(1);
    this.user = user;
    this.isTls = isTls;
    this.password = password.clone();
    this.caFile = caFile;
  }

  /**
   * Reads an address.
   *
   * @param password empty where the server asks for none
   * @param caFile PEM file of the authority that signed the server's certificate
   * @throws IllegalArgumentException with what is wrong and what would be right
   */
  public static CentreAddress of(String text, char[] password, Optional<Path> caFile) {
    URI uri;
    try {
      uri = new URI(text);
    } catch (URISyntaxException e) {
      throw wrong(text, "is no address");
    }
    if (!"postgresql".equals(uri.getScheme()) || uri.getHost() == null) {
      throw wrong(text, "is no address of a PostgreSQL");
    }
    if (uri.getPath() == null || !uri.getPath().matches("/[A-Za-z0-9_-]{1,63}")) {
      throw wrong(text, "names no database");
    }
    String user = uri.getUserInfo();
    if (user == null || user.contains(":")) {
      throw new IllegalArgumentException(
          user == null
              ? text + " names no user, write postgresql://USER@HOST/DATABASE"
              : "no passwords in addresses, use --store-password-file");
    }
    @Nullable String query = uri.getQuery();
    if (query != null && !query.equals("tls=off")) {
      throw new IllegalArgumentException(
          "\"?" + query + "\" is not known, allowed: ?tls=off for plain text");
    }
    boolean isHere = HERE.contains(uri.getHost());
    return new CentreAddress(
        uri, user, query == null && (!isHere || caFile.isPresent()), password, caFile);
  }

  private static IllegalArgumentException wrong(String text, String what) {
    return new IllegalArgumentException(
        "\"" + text + "\" " + what + ", write postgresql://USER@HOST:PORT/DATABASE");
  }

  /** False where the connection is plain text. */
  boolean isTls() {
    return isTls;
  }

  /** For the driver. */
  String url() {
    return "jdbc:postgresql://" + host + ":" + port + "/" + database;
  }

  /** For the driver: TLS is asked for by name, for its default would accept plain text. */
  Properties properties() {
    Properties all = new Properties();
    all.setProperty("user", user);
    if (password.length > 0) {
      all.setProperty("password", new String(password));
    }
    all.setProperty("sslmode", isTls ? "verify-full" : "disable");
    if (isTls) {
      caFile.ifPresentOrElse(
          file -> all.setProperty("sslrootcert", file.toString()),
          () -> all.setProperty("sslfactory", "org.postgresql.ssl.DefaultJavaSSLFactory"));
    }
    all.setProperty("currentSchema", CentreSchema.NAME);
    all.setProperty("ApplicationName", "cellherd");
    all.setProperty("loginTimeout", String.valueOf(LOGIN_S));
    all.setProperty("connectTimeout", "5");
    all.setProperty("socketTimeout", "120");
    all.setProperty("tcpKeepAlive", "true");
    // Else an error's message holds the whole block.
    all.setProperty("logServerErrorDetail", "false");
    return all;
  }

  /** Without secrets. */
  @Override
  public String toString() {
    return host + ":" + port + "/" + database;
  }
}
