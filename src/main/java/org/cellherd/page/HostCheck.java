package org.cellherd.page;

import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Pattern;

/**
 * Under which names the page may be asked for. A stranger's web page that makes its own name point
 * here (DNS rebinding) still sends that name: only IP addresses, {@code localhost} and the owner's
 * names pass.
 */
final class HostCheck {

  private static final Pattern PORT = Pattern.compile(":[0-9]{1,5}$");
  private static final Pattern IPV4 = Pattern.compile("[0-9]{1,3}(\\.[0-9]{1,3}){3}");
  private static final Pattern IPV6 = Pattern.compile("\\[[0-9a-fA-F:.]{2,45}(%[0-9a-zA-Z]+)?]");

  private final Set<String> names = new HashSet<>();

  HostCheck(List<String> names) {
    this.names.add("localhost");
    names.forEach(name -> this.names.add(name.toLowerCase(Locale.ROOT)));
  }

  /** True when the value of a Host header may be served. */
  boolean admits(String host) {
    String name = PORT.matcher(host).replaceFirst("").toLowerCase(Locale.ROOT);
    return names.contains(name) || IPV4.matcher(name).matches() || IPV6.matcher(name).matches();
  }
}
