package org.cellherd.page;

import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Base64;
import java.util.List;
import java.util.stream.Collectors;

/**
 * What stands in the document of a live view, so that nothing else is asked for before it is drawn:
 * a phone on a slow line waits for each turn. The policy lets in this very style and this very
 * script, by their hashes, and no other.
 */
final class LiveDocument {

  /** Each may use what stands before it. */
  private static final List<String> PARTS = List.of("common.js", "strip.js", "volts.js", "now.js");

  /** The style of all pages. */
  static final String STYLE = Guard.asset("page.css");

  /** The script of the live views: its parts as one module. */
  static final String SCRIPT =
      PARTS.stream().map(LiveDocument::part).collect(Collectors.joining("\n"));

  private static final String POLICY =
      Guard.POLICY
          .replace("script-src 'self'", "script-src " + hash(SCRIPT))
          .replace("style-src 'self'", "style-src " + hash(STYLE));

  private LiveDocument() {}

  private static String part(String name) {
    return Guard.asset(name)
        .replaceAll("(?s)import \\{[^}]*\\} from '[^']*';\n", "")
        .replaceAll("(?m)^export ", "");
  }

  /** An icon as an address of its own, to be had also when cellherd is away. */
  static String icon(String name) {
    String svg = URLEncoder.encode(Guard.asset(name), StandardCharsets.UTF_8).replace("+", "%20");
    return "data:image/svg+xml," + svg;
  }

  /** JSON as it may stand in a script element: nothing in it ends or opens one. */
  static String json(String json) {
    return json.replace("<", "\\u003c");
  }

  static Answer answer(String html) {
    return Answer.html(200, html).with("Content-Security-Policy", POLICY);
  }

  /** As CSP 3 names it. */
  private static String hash(String text) {
    try {
      byte[] sum =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return "'sha256-" + Base64.getEncoder().encodeToString(sum) + "'";
    } catch (NoSuchAlgorithmException everyJavaHasIt) {
      throw new IllegalStateException(everyJavaHasIt);
    }
  }
}
