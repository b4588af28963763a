package org.cellherd.page;

import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.util.HexFormat;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;

/** The secret that opens the page. It is never printed, and compared in constant time. */
public final class Token {

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
          "holds " + characters.length + " characters, allowed: " + LEAST_CHARACTERS + " or more");
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
