package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.cert.CertificateException;
import java.security.cert.CertificateFactory;
import java.util.Optional;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.config.SecretFile;
import org.cellherd.fleet.Centre;
import org.cellherd.fleet.CentreAddress;
import org.cellherd.fleet.CentreTrouble;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** Which centre: {@code --store --store-password-file --store-ca-file}. */
final class CentreOptions {

  @Option(
      names = "--store",
      paramLabel = "URL",
      description = "The centre's PostgreSQL: postgresql://USER@HOST:PORT/DATABASE.")
  private @Nullable String store;

  @Option(
      names = "--store-password-file",
      paramLabel = "FILE",
      description = "One line with the password of that user; chmod 600.")
  private @Nullable Path passwordFile;

  @Option(
      names = "--store-ca-file",
      paramLabel = "FILE",
      description = "PEM file of the authority that signed the server's certificate.")
  private @Nullable Path caFile;

  /** True when a centre is named. */
  boolean isGiven() {
    return store != null;
  }

  CentreAddress address() {
    if (store == null) {
      throw Stop.usage("which centre? --store postgresql://USER@HOST:PORT/DATABASE");
    }
    checkCertificate(caFile);
    char[] password = passwordFile == null ? new char[0] : SecretFile.read(passwordFile);
    try {
      return CentreAddress.of(store, password, Optional.ofNullable(caFile));
    } catch (IllegalArgumentException wrong) {
      throw Stop.usage("--store: " + wrong.getMessage());
    }
  }

  /** Refuses a file that holds no certificate, before a connection fails by it. */
  static void checkCertificate(@Nullable Path file) {
    if (file == null) {
      return;
    }
    try (InputStream in = Files.newInputStream(file)) {
      if (CertificateFactory.getInstance("X.509").generateCertificates(in).isEmpty()) {
        throw Stop.usage(file + ": holds no certificate (PEM)");
      }
    } catch (CertificateException e) {
      throw Stop.usage(file + ": holds no certificate (PEM)");
    } catch (IOException cannot) {
      throw FileCause.unreadable(file, cannot);
    }
  }

  Centre open() {
    try {
      return Centre.openForReading(address());
    } catch (CentreTrouble trouble) {
      throw stop(trouble);
    }
  }

  /** Trouble of the centre as the end of a verb. */
  static Stop stop(CentreTrouble trouble) {
    return new Stop(ExitCode.STORE, trouble.getMessage());
  }
}
