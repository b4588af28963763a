package org.cellherd.mqtt.link;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.util.Collection;
import java.util.Optional;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;

/** Whose signature under a broker's certificate is believed. */
final class TlsTrust {

  private static final long MOST_BYTES = 1_000_000;

  private TlsTrust() {}

  /**
   * Sockets that believe only the certificates of a PEM file, or, without one, the authorities that
   * Java knows.
   *
   * @throws BrokerTrouble naming the file and what is wrong with it
   */
  public static SSLSocketFactory sockets(Optional<Path> caFile) throws BrokerTrouble {
    try {
      SSLContext context = SSLContext.getInstance("TLS");
      TrustManagerFactory trust =
          TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
      trust.init(caFile.isPresent() ? keys(caFile.get()) : null);
      context.init(null, trust.getTrustManagers(), null);
      return context.getSocketFactory();
    } catch (GeneralSecurityException e) {
      throw new BrokerTrouble("TLS cannot be set up: " + TroubleText.oneLine(e), e);
    }
  }

  private static KeyStore keys(Path caFile) throws BrokerTrouble, GeneralSecurityException {
    Collection<? extends Certificate> certificates = read(caFile);
    if (certificates.isEmpty()) {
      throw new BrokerTrouble("ca_file " + caFile + " holds no certificate; PEM is wanted");
    }
    try {
      KeyStore keys = KeyStore.getInstance(KeyStore.getDefaultType());
      keys.load(null, null);
      int number = 0;
      for (Certificate certificate : certificates) {
        keys.setCertificateEntry("ca-" + number++, certificate);
      }
      return keys;
    } catch (IOException e) {
      throw new BrokerTrouble("TLS cannot be set up: " + TroubleText.oneLine(e), e);
    }
  }

  private static Collection<? extends Certificate> read(Path caFile) throws BrokerTrouble {
    try (InputStream in = Files.newInputStream(caFile)) {
      byte[] bytes = in.readNBytes((int) MOST_BYTES + 1);
      if (bytes.length > MOST_BYTES) {
        throw new BrokerTrouble("ca_file " + caFile + " is too large for a PEM file");
      }
      return CertificateFactory.getInstance("X.509")
          .generateCertificates(new ByteArrayInputStream(bytes));
    } catch (IOException e) {
      throw new BrokerTrouble("ca_file " + caFile + " cannot be read: " + e, e);
    } catch (GeneralSecurityException e) {
      throw new BrokerTrouble("ca_file " + caFile + " is no PEM certificate file", e);
    }
  }
}
