package org.cellherd.mqtt;

/**
 * Topics of one site's devices: a root device for the site, a child for each pack.
 *
 * @param domain first word, usually {@code homie}
 * @param site id of the root device
 */
record HomieTopics(String domain, String site) {

  private static final String VERSION = "5";

  HomieTopics {
    requireDomain(domain);
  }

  static void requireDomain(String domain) {
    if (!domain.matches("[A-Za-z0-9_-]{1,64}")) {
      throw new IllegalArgumentException(
          "homie = \"" + domain + "\" must be one topic word, usually \"homie\"");
    }
  }

  String root() {
    return "cellherd-" + site;
  }

  /** Id of a pack's device; unique among all sites, whose ids have single hyphens only. */
  String device(String pack) {
    return root() + "--" + pack;
  }

  /** What all topics of the tree begin with. */
  String tree() {
    return domain + "/" + VERSION + "/";
  }

  String attribute(String device, String name) {
    return tree() + device + "/" + name;
  }

  String property(String device, String node, String property) {
    return attribute(device, node) + "/" + property;
  }

  String alert(String device, String alertId) {
    return attribute(device, "$alert") + "/" + alertId;
  }
}
