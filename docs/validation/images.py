"""Image sources of pyroomacoustics, written as a table: one line for each image that an ear hears."""
import numpy as np, pyroomacoustics as pra, sys, time
rng = np.random.default_rng(20261125)
C = 343.2
pra.constants.set("c", C)
out = []
def add(case, kind, room, src, ear, dims):
    room.add_source(src); room.add_microphone(np.array(ear))
    t=time.perf_counter(); room.image_source_model(); dt=time.perf_counter()-t
    s = room.sources[0]
    vis = room.visibility[0][0]
    imgs = s.images.T; damp = s.damping[0] if s.damping.ndim==2 else s.damping
    d = np.linalg.norm(imgs-np.array(ear),axis=1)
    direct = np.linalg.norm(np.array(src)-np.array(ear))
    for i in range(len(d)):
        if vis[i] and s.orders[i]>0:
            out.append((case, int(s.orders[i]), d[i]/C*1e3, 20*np.log10(damp[i]/d[i]*direct)))
    direct_seen = any(vis[i] and s.orders[i]==0 for i in range(len(d)))
    return direct_seen
rooms=[]
for case in range(50):
    dims = rng.uniform([3,2.5,2.2],[9,7,4.5]).round(3)
    alphas = rng.uniform(0.02,0.9,6).round(3)
    names=["west","east","south","north","floor","ceiling"]
    mats={n:pra.Material(energy_absorption=float(a)) for n,a in zip(names,alphas)}
    room=pra.ShoeBox(dims,fs=48000,materials=mats,max_order=3,air_absorption=False)
    src=(dims*rng.uniform(0.05,0.95,3)).round(3); ear=(dims*rng.uniform(0.05,0.95,3)).round(3)
    seen=add(case,"box",room,src,ear,dims)
    assert seen
    corners=[[0,0],[dims[0],0],[dims[0],dims[1]],[0,dims[1]]]
    # pyroomacoustics' ShoeBox names: west x=0, east x=L, south y=0, north y=W; walls in the order of the plan's edges
    rooms.append((case,dims[2],[ [0,0],[dims[0],0],[dims[0],dims[1]],[0,dims[1]] ],[alphas[2],alphas[1],alphas[3],alphas[0],alphas[4],alphas[5]],src,ear,seen))
plans=[ [[0,0],[6,0],[6,3],[3.5,3],[3.5,5],[0,5]],
        [[0,0],[7,0],[7,2.5],[4.6,2.5],[4.6,5.2],[2.1,5.2],[2.1,2.5],[0,2.5]],
        [[0,0],[5,0],[6.2,2.2],[4.4,4.8],[2.5,2.9],[0.3,4.5]],
        [[0,0],[6.5,0],[6.5,4.2],[4.1,4.2],[4.1,1.8],[2.2,1.8],[2.2,4.2],[0,4.2]] ]
def inside(p,poly):
    x,y=p; r=False; n=len(poly)
    for i in range(n):
        (x0,y0),(x1,y1)=poly[i],poly[(i+1)%n]
        if (y0>y)!=(y1>y) and x<(x1-x0)*(y-y0)/(y1-y0)+x0: r=not r
    return r
def far(p,poly):
    p=np.array(p); m=9
    for i in range(len(poly)):
        a=np.array(poly[i],float); b=np.array(poly[(i+1)%len(poly)],float)
        t=np.clip(np.dot(p-a,b-a)/np.dot(b-a,b-a),0,1); m=min(m,np.linalg.norm(p-a-t*(b-a)))
    return m
case=50
for k in range(16):
    plan=np.array(plans[k%4],float)*rng.uniform(0.9,1.3)
    plan=plan.round(3); h=round(float(rng.uniform(2.2,3.5)),3)
    n=len(plan); alphas=rng.uniform(0.02,0.9,n+2).round(3)
    pts=[]
    while len(pts)<2:
        p=rng.uniform([0,0,0.2],[plan[:,0].max(),plan[:,1].max(),h-0.2]).round(3)
        if inside(p[:2],plan) and far(p[:2],plan)>0.15: pts.append(p)
    mats=[pra.Material(energy_absorption=float(a)) for a in alphas]
    room=pra.Room.from_corners(plan.T,fs=48000,materials=mats[:n],max_order=3,air_absorption=False)
    room.extrude(h,materials={"floor":mats[n],"ceiling":mats[n+1]})
    seen=add(case,"prism",room,pts[0],pts[1],None)
    rooms.append((case,h,plan.tolist(),alphas,pts[0],pts[1],seen)); case+=1
head=f"# source: computed by pyroomacoustics {pra.__version__} image_source_model, max_order 3, c 343.2 m/s, numpy seed 20261125 (docs/validation/images.py)"
with open("rooms.csv","w") as f:
    f.write(head+"; walls in the order of the plan's edges, then floor, then ceiling\n")
    f.write("room,height_m,plan_m,alpha,source_m,ear_m,direct_seen\n")
    for c,h,plan,al,s,e,seen in rooms:
        j=lambda v:" ".join(f"{float(x):.3f}" for x in np.ravel(v))
        f.write(f"{c},{float(h):.3f},{j(plan)},{j(al)},{j(s)},{j(e)},{int(seen)}\n")
out.sort(key=lambda r:(r[0],r[2]))
with open("images.csv","w") as f:
    f.write(head+"\nroom,order,arrival_ms,level_re_direct_db\n")
    for c,o,d,l in out: f.write(f"{c},{o},{d:.4f},{l:.3f}\n")
print(len(out), sum(1 for o in out if o[0]>=50))
