from collections import Counter
def test_show(handed_in):
    out=[]; held=Counter()
    for sample,doc in handed_in.documents.items():
        for r in doc["readings"]:
            for c in r["checks"]:
                if c["flag"] in (3,4): held[c["check"],r["parameter"]]+=1
                if c["likely_slip"]:
                    out.append(f"{sample} {r['parameter']} {r['written']['value']} {r['written']['unit']} {c['check']} {c['likely_slip']} | {c['message'][:110]}")
    open("/tmp/w/real_slips.txt","w").write("\n".join(out)+"\n"+str(held))
