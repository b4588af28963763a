package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyFactory;
import java.security.KeyStore;
import java.security.PrivateKey;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.security.spec.PKCS8EncodedKeySpec;
import java.util.Base64;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocket;

/** Servers that are not the PostgreSQL that is meant; they run as long as the tests. */
final class WrongServer {

  private static final int REQUEST_BYTES = 8;

  private WrongServer() {}

  /** What one says to a caller who said something. */
  @FunctionalInterface
  private interface Talk {
    void with(Socket caller) throws IOException;
  }

  /** The port of one that says what servers of web pages say to a stranger. */
  static int ofPages() throws IOException {
    byte[] refusal = "HTTP/1.1 400 Bad Request\r\n\r\n".getBytes(StandardCharsets.US_ASCII);
    return port(caller -> caller.getOutputStream().write(refusal));
  }

  /** The port of one that takes what it is told and never says a word. */
  static int ofSilence() throws IOException {
    return port(caller -> caller.getInputStream().transferTo(OutputStream.nullOutputStream()));
  }

  /**
   * The port of one that agrees to TLS as PostgreSQL does, shakes hands, and says no more.
   *
   * @param name of the files of its certificate and key, without their ends
   */
  static int ofTls(Path folder, String name) throws Exception {
    SSLContext context = context(folder, name);
    return port(caller -> shakeHands(caller, context));
  }

  private static int port(Talk talk) throws IOException {
    ServerSocket server = new ServerSocket(0);
    Thread thread =
        new Thread(
            () -> {
              while (true) {
                try (Socket caller = server.accept()) {
                  caller.getInputStream().readNBytes(REQUEST_BYTES);
                  talk.with(caller);
                } catch (IOException refused) {
                  // By the caller: the next one.
                }
              }
            },
            "wrong server");
    thread.setDaemon(true);
    thread.start();
    return server.getLocalPort();
  }

  private static void shakeHands(Socket caller, SSLContext context) throws IOException {
    caller.getOutputStream().write('S');
    try (SSLSocket secret =
        (SSLSocket) context.getSocketFactory().createSocket(caller, null, caller.getPort(), true)) {
      secret.setUseClientMode(false);
      secret.startHandshake();
      secret.getInputStream().read();
    }
  }

  private static SSLContext context(Path folder, String name) throws Exception {
    String pem = Files.readString(folder.resolve(name + ".key"));
    byte[] bytes = Base64.getMimeDecoder().decode(pem.replaceAll("-----[^-]+-----", ""));
    PrivateKey key = KeyFactory.getInstance("EC").generatePrivate(new PKCS8EncodedKeySpec(bytes));
    KeyStore store = KeyStore.getInstance("PKCS12");
    store.load(null, null);
    try (InputStream in = Files.newInputStream(folder.resolve(name + ".pem"))) {
      Certificate own = CertificateFactory.getInstance("X.509").generateCertificate(in);
      store.setKeyEntry("server", key, new char[0], new Certificate[] {own});
    }
    KeyManagerFactory keys = KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
    keys.init(store, new char[0]);
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(keys.getKeyManagers(), null, null);
    return context;
  }
}
