package org.cellherd.mqtt.link;

import java.security.cert.CertPathBuilderException;
import java.security.cert.CertificateException;
import java.security.cert.CertificateExpiredException;
import java.security.cert.CertificateNotYetValidException;
import java.util.Locale;
import java.util.Optional;
import javax.net.ssl.SSLException;

/** What went wrong in a TLS handshake, in plain words. */
final class TlsTrouble {

  private TlsTrouble() {}

  static Optional<String> of(Throwable failure, LinkSettings settings) {
    Optional<String> best = Optional.empty();
    for (Throwable t = failure; t != null; t = t.getCause()) {
      Optional<String> words = words(t, settings);
      best = words.isPresent() ? words : best;
    }
    return best;
  }

  /** The deepest cause says most. */
  private static Optional<String> words(Throwable t, LinkSettings settings) {
    String detail = TroubleText.oneLine(t);
    if (t instanceof CertificateExpiredException) {
      return Optional.of("has a certificate that is no longer valid (" + detail + ")");
    }
    if (t instanceof CertificateNotYetValidException) {
      return Optional.of(
          "has a certificate that is not valid yet (" + detail + "); is the clock right?");
    }
    if (t instanceof CertPathBuilderException) {
      return Optional.of("has a certificate that was not signed by " + authority(settings));
    }
    if (t instanceof CertificateException && isAboutTheName(detail)) {
      return Optional.of(
          "has a certificate for another name than '%s' (%s)"
              .formatted(settings.url().host(), detail));
    }
    return t instanceof SSLException ? Optional.of(handshake(detail)) : Optional.empty();
  }

  private static boolean isAboutTheName(String detail) {
    return detail.startsWith("No subject alternative") || detail.startsWith("No name matching");
  }

  private static String authority(LinkSettings settings) {
    return settings
        .caFile()
        .map(file -> "the authority in ca_file " + file)
        .orElse("an authority that Java knows; give ca_file");
  }

  private static String handshake(String detail) {
    String lower = detail.toLowerCase(Locale.ROOT);
    return lower.contains("unrecognized ssl message") || lower.contains("plaintext")
        ? "does not speak TLS at this port; a port without TLS wants mqtt://"
        : "failed in the TLS handshake: " + detail;
  }
}
