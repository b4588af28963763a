package org.cellherd.page;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;

/**
 * How the page is served.
 *
 * @param listen address and port; port 0 takes a free one
 * @param token what opens the page; empty only where the address is a loopback one
 * @param names host names under which browsers may ask, beside IP addresses and {@code localhost}
 * @param reports folder of finished reports, if any
 */
public record PageSettings(
    InetSocketAddress listen, Optional<Token> token, List<String> names, Optional<Path> reports) {

  /** Where the page is unless told otherwise. */
  public static final int PORT = 8467;

  /** Refuses an open page beyond this computer. */
  public PageSettings {
    names = List.copyOf(names);
    if (listen.isUnresolved()) {
      throw new IllegalArgumentException("no address " + listen.getHostString());
    }
    if (token.isEmpty() && !listen.getAddress().isLoopbackAddress()) {
      throw new IllegalArgumentException("beyond loopback a token is needed");
    }
  }

  /** On this computer only, without a token. */
  public static PageSettings loopback(int port) {
    return new PageSettings(
        new InetSocketAddress(InetAddress.getLoopbackAddress(), port),
        Optional.empty(),
        List.of(),
        Optional.empty());
  }

  /** The secret that opens the page. It is never printed, and compared in constant time. */
  public static final class Token {

    /** Shorter ones could be guessed in spite of the slowing. */
    public static final int LEAST_CHARACTERS = 16;

    private final byte[] secret;
    private final byte[] cookie;

    private Token(byte[] secret, byte[] cookie) {
      this.secret = secret;
      this.cookie = cookie;
    }

    /**
     * A token from its characters.
     *
     * @throws IllegalArgumentException when it is too short
     */
    public static Token of(char[] characters) {
      if (characters.length < LEAST_CHARACTERS) {
        throw new IllegalArgumentException(
            "holds "
                + characters.length
                + " characters, allowed: "
                + LEAST_CHARACTERS
                + " or more");
      }
      byte[] secret = new String(characters).getBytes(StandardCharsets.UTF_8);
      return new Token(secret, cookieOf(secret).getBytes(StandardCharsets.US_ASCII));
    }

    /** What a browser keeps: follows from the token, leads not back to it, outlasts restarts. */
    private static String cookieOf(byte[] secret) {
      try {
        Mac mac = Mac.getInstance("HmacSHA256");
        mac.init(new SecretKeySpec(secret, "HmacSHA256"));
        byte[] use = "cellherd page cookie".getBytes(StandardCharsets.US_ASCII);
        return HexFormat.of().formatHex(mac.doFinal(use));
      } catch (GeneralSecurityException everyJavaHasIt) {
        throw new IllegalStateException(everyJavaHasIt);
      }
    }

    /** True for the token itself. */
    public boolean isToken(String given) {
      return MessageDigest.isEqual(secret, given.getBytes(StandardCharsets.UTF_8));
    }

    /** True for the cookie's value. */
    public boolean isCookie(String given) {
      return MessageDigest.isEqual(cookie, given.getBytes(StandardCharsets.UTF_8));
    }

    /** The cookie's value, for the browser of somebody who gave the token. */
    public String cookie() {
      return new String(cookie, StandardCharsets.US_ASCII);
    }

    @Override
    public String toString() {
      return "a token";
    }
  }
}
